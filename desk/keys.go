package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"billwright/api"
)

// keysPage is the body of the owner's page of the interface's keys.
type keysPage struct {
	Live, Revoked []keyRow
	Dealers       []dealerRow
	Roles         []roleBox
	Key           string // of the form's act
	// Made is the key that was just made, with its text, which is shown once.
	Made *keyRow
	// Name, Role, Dealer and Test are what was typed, Findings what was refused of
	// it, by field.
	Name, Role, Dealer string
	Test               bool
	Findings           map[string]string
	Says               string
}

// keyRow is a key as the interface lists it.
type keyRow struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Role    string     `json:"role"`
	Dealer  string     `json:"dealer"`
	Test    bool       `json:"test"`
	Created time.Time  `json:"created_at"`
	Revoked *time.Time `json:"revoked_at"`
	Text    string     `json:"text"`
}

// keyRoles are the roles that keys have, with what each may do.
func keyRoles(now string) []roleBox {
	boxes := []roleBox{{Role: "dealer", Says: "his own orders only", On: now == "dealer"}}
	for _, box := range roleBoxes(func(role string) bool { return role == now }) {
		if box.Role != "admin" { // which is of people alone
			boxes = append(boxes, box)
		}
	}
	return boxes
}

func (v *visit) showKeys() { v.keys(http.StatusOK, keysPage{}) }

func (v *visit) keys(status int, page keysPage) {
	var list struct {
		Keys []keyRow `json:"keys"`
	}
	var dealers struct {
		Rows []dealerRow `json:"rows"`
	}
	err := v.get("/v1/keys", &list)
	if err == nil && v.person.Has(shopPeople...) { // who only keeps keys is told no dealers' terms, and writes the code
		err = v.get("/v1/catalog/dealers", &dealers)
	}
	if err != nil {
		v.fail(err)
		return
	}
	for _, k := range list.Keys {
		if k.Revoked == nil {
			page.Live = append(page.Live, k)
		} else {
			page.Revoked = append(page.Revoked, k)
		}
	}
	page.Dealers, page.Roles, page.Key = dealers.Rows, keyRoles(page.Role), newKey()
	v.w.Header().Set("Cache-Control", "no-store")
	v.showAs(status, "keys", shell{Title: "Keys", Place: "/keys", Body: page, Keys: []key{{"F8", "next key"}, {"Esc", "back"}}})
}

// makeKey makes a key and shows its text in the answer itself, since it is kept
// nowhere; sent again, the answer is without it.
func (v *visit) makeKey() {
	page := keysPage{Name: strings.TrimSpace(v.PostFormValue("name")), Role: v.PostFormValue("role"), Dealer: v.PostFormValue("dealer"), Test: v.PostFormValue("test") != ""}
	asked := map[string]any{"name": page.Name, "role": page.Role, "test": page.Test}
	if page.Dealer != "" {
		asked["dealer"] = page.Dealer
	}
	body, err := json.Marshal(asked)
	if err != nil {
		v.fail(err)
		return
	}
	a, err := v.ask(http.MethodPost, "/v1/keys", body, "Idempotency-Key", v.PostFormValue("key"))
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		page.refuse(a)
		v.keys(a.status, page)
	default:
		made := &keyRow{}
		if err := json.Unmarshal(a.body.Bytes(), made); err != nil {
			v.fail(fmt.Errorf("read a key: %w", err))
			return
		}
		v.keys(http.StatusCreated, keysPage{Made: made})
	}
}

func (p *keysPage) refuse(a *answer) {
	p.Findings = map[string]string{}
	p.Says = a.Detail
	for _, f := range a.Errors {
		field := strings.TrimPrefix(f.Pointer, "/")
		if p.Findings[field] != "" {
			continue
		}
		p.Findings[field], p.Says = keySays(f), ""
	}
}

// keySays is a finding about a key in the words of the page.
func keySays(f api.Finding) string {
	if f.Pointer == "/name" && f.Code != "text.control-characters" {
		return "Say what the key is for, in up to 80 characters."
	}
	if f.Pointer == "/role" {
		return "Choose what the key may do."
	}
	return f.Message
}

// revokeKey ends a key for good.
func (v *visit) revokeKey() {
	a, err := v.ask(http.MethodDelete, "/v1/keys/"+url.PathEscape(v.PathValue("id")), nil)
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		v.fail(a)
	default:
		v.goTo("/keys")
	}
}
