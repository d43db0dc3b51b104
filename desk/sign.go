package desk

import (
	"errors"
	"net/http"
	"slices"

	"billwright/api"
)

// signInForm is the body of the page where people sign in.
type signInForm struct{ Name, To, Says string }

func (v *visit) showSignIn() {
	v.show("sign-in", shell{Title: "Sign in", Body: signInForm{To: local(v.FormValue("to"))}})
}

// signIn begins a session. What went wrong is told in the same words whoever it
// was.
func (v *visit) signIn() {
	form := signInForm{Name: v.PostFormValue("name"), To: local(v.PostFormValue("to"))}
	secret, err := v.desk.set.API.SignIn(v.Context(), v.desk.set.Workshop, form.Name, v.PostFormValue("password"), v.address())
	status := http.StatusUnprocessableEntity
	switch {
	case err == nil:
		v.begin(secret, form.To)
		return
	case errors.Is(err, api.ErrSignIn):
		form.Says = "This name and this password do not go together, or no longer open the desk. An admin can give you another password."
	case errors.Is(err, api.ErrTooManyTries):
		form.Says, status = "Too many tries failed. Wait a quarter of an hour, or ask an admin for another password.", http.StatusTooManyRequests
		v.w.Header().Set("Retry-After", "900")
	default:
		v.fail(err)
		return
	}
	v.showAs(status, "sign-in", shell{Title: "Sign in", Body: form})
}

// begin gives the browser the session's secret and goes on.
func (v *visit) begin(secret, to string) {
	v.keep(formCookie, "", -1)
	v.keep(sessionCookie, secret, int(api.SessionMost.Seconds()))
	v.goTo(to)
}

func (v *visit) signOut() {
	if err := v.desk.set.API.SignOut(v.Context(), v.desk.set.Workshop, v.secret); err != nil {
		v.fail(err)
		return
	}
	v.keep(sessionCookie, "", -1)
	v.goTo("/sign-in")
}

// firstForm is the body of the page where the first admin comes in.
type firstForm struct {
	Token, Name string
	Roles       []roleBox
	Says        string
	Findings    map[string]string
}

// roleBox is a role and whether it is ticked.
type roleBox struct {
	Role, Says string
	On         bool
}

// roleSays tells what a role is for.
var roleSays = map[string]string{
	"rep": "takes orders", "buyer": "buys what they need", "engineer": "keeps the catalog", "shop": "tells what was made",
	"owner": "may do all of these", "admin": "looks after people and keys",
}

func roleBoxes(on func(string) bool) (boxes []roleBox) {
	for _, role := range api.PersonRoles {
		boxes = append(boxes, roleBox{role, roleSays[role], on(role)})
	}
	return boxes
}

func (v *visit) showFirstAdmin() {
	v.show("first-admin", shell{Title: "The first admin", Body: firstForm{Token: v.FormValue("token"), Roles: roleBoxes(func(string) bool { return true })}})
}

// firstAdmin makes the first admin by the one-time token and signs him in.
func (v *visit) firstAdmin() {
	form := firstForm{Token: v.PostFormValue("token"), Name: v.PostFormValue("name")}
	n := api.NewPerson{Name: form.Name, Password: v.PostFormValue("password"), Roles: v.PostForm["role"]}
	secret, err := v.desk.set.API.FirstAdmin(v.Context(), v.desk.set.Workshop, form.Token, n)
	var findings api.PersonFindings
	switch {
	case err == nil:
		v.begin(secret, "/")
		return
	case errors.Is(err, api.ErrToken):
		form.Says = "This link was used already or is over. The program prints another when it is started anew, as long as there is no admin."
	case errors.As(err, &findings):
		form.Findings = byField(findings)
	default:
		v.fail(err)
		return
	}
	form.Roles = roleBoxes(func(role string) bool { return slices.Contains(n.Roles, role) })
	v.showAs(http.StatusUnprocessableEntity, "first-admin", shell{Title: "The first admin", Body: form})
}

// byField gives the first sentence about each field of a form.
func byField(findings []api.Finding) map[string]string {
	by := map[string]string{}
	for _, f := range findings {
		if _, told := by[f.Pointer[1:]]; !told {
			by[f.Pointer[1:]] = f.Message
		}
	}
	return by
}
