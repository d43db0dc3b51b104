package desk

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"billwright/api"
)

// orderAct is an act on an order that its page offers: the end of its address
// and its body, made of the form's fields.
type orderAct struct {
	path string
	body map[string]any
}

// acting reads what a form of an order's page asks for; ok is false of an act
// that there is none of.
func (v *visit) acting() (a orderAct, ok bool) {
	reason := strings.TrimSpace(v.PostFormValue("reason"))
	line, _ := strconv.Atoi(v.PostFormValue("line")) // none is the whole order
	switch v.PostFormValue("do") {
	case "accept":
		return orderAct{"/accept", map[string]any{}}, true
	case "release":
		return orderAct{"/release", map[string]any{}}, true
	case "hold":
		return orderAct{"/holds", map[string]any{"kind": v.PostFormValue("kind"), "line": line, "reason": reason}}, true
	case "lift":
		return orderAct{"/holds/" + url.PathEscape(v.PostFormValue("seq")) + "/lift", map[string]any{"reason": reason}}, true
	case "start-frame":
		return orderAct{"/lines/" + strconv.Itoa(line) + "/start-frame", map[string]any{}}, true
	case "receive":
		return orderAct{"/own-material/receipts", map[string]any{"act": "received", "line": line, "path": v.PostFormValue("path"), "amount": v.PostFormValue("received"), "flaws": v.PostFormValue("flaws")}}, true
	case "note":
		return orderAct{"/notes", map[string]any{"audience": v.PostFormValue("audience"), "line": line, "text": strings.ReplaceAll(v.PostFormValue("text"), "\r\n", "\n"), "changes_build": v.PostFormValue("changes_build") != ""}}, true
	}
	return orderAct{}, false
}

// actOnOrder does an act on the version that the form was made for. Refused, the
// order is shown again with the reason and what was typed.
func (v *visit) actOnOrder() {
	act, ok := v.acting()
	if !ok {
		v.noPage()
		return
	}
	a, err := v.tell(act)
	switch {
	case err != nil:
		v.fail(err)
	case a.ok():
		v.goTo("/orders/" + url.PathEscape(v.PathValue("number")))
	default:
		v.showOrderWith(a)
	}
}

// tell sends an act with the version and the key that the form was made with:
// sent twice, it is done once.
func (v *visit) tell(act orderAct) (*answer, error) {
	body, err := json.Marshal(act.body)
	if err != nil {
		return nil, err
	}
	version := v.PostFormValue("version")
	return v.ask(http.MethodPost, "/v1/orders/"+url.PathEscape(v.PathValue("number"))+act.path, body, "Idempotency-Key", v.PostFormValue("key"), "If-Match", strconv.Quote(version))
}

// refusedAct is what the page tells of an act that was refused.
type refusedAct struct {
	Says   string
	Errors []api.Finding
}

func refusedBy(a *answer) *refusedAct {
	if a == nil {
		return nil
	}
	return &refusedAct{a.Detail, a.Errors}
}

// checkMaterial reckons what came of customer's own material against what its
// line needs, and keeps nothing.
func (v *visit) checkMaterial() {
	line, _ := strconv.Atoi(v.PostFormValue("line"))
	body, err := json.Marshal(map[string]any{"line": line, "path": v.PostFormValue("path"), "received": v.PostFormValue("received"), "usable_width": v.PostFormValue("usable_width"),
		"repeat": v.PostFormValue("repeat"), "flaws": v.PostFormValue("flaws")})
	if err != nil {
		v.fail(err)
		return
	}
	a, err := v.ask(http.MethodPost, "/v1/orders/"+url.PathEscape(v.PathValue("number"))+"/own-material/checks", body)
	if err != nil {
		v.fail(err)
		return
	}
	if !a.ok() {
		v.showOrderWith(a)
		return
	}
	var got materialCheck
	if err := json.Unmarshal(a.body.Bytes(), &got); err != nil {
		v.fail(err)
		return
	}
	got.Typed = v.PostFormValue("received")
	v.showOrderAnd(nil, &got)
}
