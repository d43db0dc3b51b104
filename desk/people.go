package desk

import (
	"errors"
	"net/http"
	"slices"

	"github.com/google/uuid"

	"billwright/api"
)

// peoplePage is the body of the admin's page.
type peoplePage struct {
	People   []personRow
	Name     string
	Roles    []roleBox
	Findings map[string]string
	Says     string
}

type personRow struct {
	api.ListedPerson
	Boxes []roleBox
	Self  bool
}

func (v *visit) showPeople() { v.people(http.StatusOK, peoplePage{}) }

func (v *visit) people(status int, page peoplePage) {
	listed, err := v.desk.set.API.People(v.Context(), v.person)
	if err != nil {
		v.fail(err)
		return
	}
	for _, p := range listed {
		page.People = append(page.People, personRow{p, roleBoxes(func(role string) bool { return p.Has(role) }), p.ID == v.person.ID})
	}
	if page.Roles == nil {
		page.Roles = roleBoxes(func(string) bool { return false })
	}
	v.showAs(status, "people", shell{Title: "People", Place: "/people", Body: page})
}

func (v *visit) addPerson() {
	n := api.NewPerson{Name: v.PostFormValue("name"), Password: v.PostFormValue("password"), Roles: v.PostForm["role"]}
	err := v.desk.set.API.AddPerson(v.Context(), v.person, n)
	v.afterPerson(err, peoplePage{Name: n.Name, Roles: roleBoxes(func(role string) bool { return slices.Contains(n.Roles, role) })})
}

func (v *visit) changePerson() {
	id, err := uuid.Parse(v.PathValue("id"))
	if err != nil {
		v.noPage()
		return
	}
	err = v.desk.set.API.ChangePerson(v.Context(), v.person, api.PersonChange{
		ID: id, Roles: v.PostForm["role"], Password: v.PostFormValue("password"), Disabled: v.PostFormValue("disabled") != "",
	})
	var findings api.PersonFindings
	if errors.As(err, &findings) {
		v.people(http.StatusUnprocessableEntity, peoplePage{Says: findings[0].Message})
		return
	}
	v.afterPerson(err, peoplePage{})
}

func (v *visit) afterPerson(err error, again peoplePage) {
	var findings api.PersonFindings
	switch {
	case err == nil:
		v.goTo("/people")
	case errors.As(err, &findings):
		again.Findings = byField(findings)
		v.people(http.StatusUnprocessableEntity, again)
	case errors.Is(err, api.ErrNoPerson):
		v.noPage()
	default:
		v.fail(err)
	}
}
