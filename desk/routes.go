package desk

import (
	"net/http"

	"billwright/api"
)

// visit is one request of a person for a page.
type visit struct {
	*http.Request
	desk   *Desk
	w      http.ResponseWriter
	person api.Person
	// secret is that of the person's session, or of the visitor's form.
	secret string
}

// Who may open which pages; the interface decides anew what each may do there.
var (
	everybody  = api.PersonRoles
	shopPeople = []string{"rep", "buyer", "engineer", "shop", "owner"}
	takers     = []string{"rep", "owner"}
	changers   = []string{"rep", "engineer", "owner"}
	planners   = []string{"rep", "buyer", "engineer", "owner"}
	buyers     = []string{"buyer", "owner"}
	engineers  = []string{"engineer", "owner"}
	tellers    = []string{"shop", "buyer", "engineer", "owner"}
	admins     = []string{"admin"}
	keyKeepers = []string{"owner", "admin"}
)

// registerPages is the table of every page: method and path, who may open it,
// what shows it. Signing in stands apart, since nobody is signed in there.
func registerPages(d *Desk) {
	d.mux.Handle("GET /static/{name}", d.static)
	d.open("GET /sign-in", (*visit).showSignIn)
	d.open("POST /sign-in", (*visit).signIn)
	d.open("GET /first-admin", (*visit).showFirstAdmin)
	d.open("POST /first-admin", (*visit).firstAdmin)
	d.open("/", (*visit).noPage)

	d.page("GET /{$}", everybody, (*visit).home)
	d.page("POST /sign-out", everybody, (*visit).signOut)
	d.page("GET /people", admins, (*visit).showPeople)
	d.page("POST /people", admins, (*visit).addPerson)
	d.page("POST /people/{id}", admins, (*visit).changePerson)

	d.page("GET /keys", keyKeepers, (*visit).showKeys)
	d.page("POST /keys", keyKeepers, (*visit).makeKey)
	d.page("POST /keys/{id}/revoke", keyKeepers, (*visit).revokeKey)

	d.page("GET /orders", shopPeople, (*visit).findOrders)
	d.page("GET /orders/new", takers, (*visit).newOrder)
	d.page("GET /orders/entry/form", takers, (*visit).newForm)
	d.page("POST /orders/entry", takers, (*visit).act)
	d.page("POST /orders/entry/near", takers, (*visit).near)
	d.page("POST /orders/entry/keep", takers, (*visit).keepDraft)
	d.page("POST /orders/entry/place", takers, (*visit).place)
	d.page("GET /orders/{number}/edit", takers, (*visit).editDraft)
	d.page("GET /orders/{number}", shopPeople, (*visit).showOrder)
	d.page("POST /orders/{number}/act", shopPeople, (*visit).actOnOrder)
	d.page("POST /orders/{number}/copy", takers, (*visit).copyOrder)
	d.page("POST /orders/{number}/material", shopPeople, (*visit).checkMaterial)
	d.page("GET /orders/{number}/acknowledgment", shopPeople, (*visit).showAcknowledgment)
	d.page("GET /orders/{number}/papers/{paper}", shopPeople, (*visit).showPaper)
	d.page("GET /orders/{number}/change", changers, (*visit).askChange)
	d.page("POST /orders/{number}/change", changers, (*visit).proposeChange)
	d.page("GET /orders/{number}/changes/{change}", shopPeople, (*visit).showChange)
	d.page("POST /orders/{number}/changes/{change}", changers, (*visit).decideChange)
	d.page("GET /orders/{number}/why/{row...}", shopPeople, (*visit).showWhy)
	d.page("GET /orders/{number}/shop", shopPeople, (*visit).showShop)
	d.page("POST /orders/{number}/shop", tellers, (*visit).tellShop)

	d.page("GET /weeks", planners, (*visit).openWeeks)
	d.page("GET /weeks/now", planners, (*visit).showNow)
	d.page("GET /weeks/{week}", planners, (*visit).showWeek)
	d.page("GET /weeks/{week}/{file}", planners, (*visit).weekFile)
	d.page("POST /weeks/{week}/pull", buyers, (*visit).pullWeek)
	d.page("POST /weeks/{week}/purchase", buyers, (*visit).tellPurchase)
	d.page("POST /weeks/{week}/count", buyers, (*visit).countStock)
	d.page("GET /pulls", planners, (*visit).listPulls)
	d.page("GET /pulls/{pull}", planners, (*visit).showPull)
	d.page("GET /pulls/{pull}/{file}", planners, (*visit).pullFile)
	d.page("GET /load", shopPeople, (*visit).showLoad)

	d.page("GET /catalog", shopPeople, (*visit).showCatalog)
	d.page("GET /catalog/products/{product}", shopPeople, (*visit).showProduct)
	d.page("GET /catalog/standards", shopPeople, (*visit).showStandards)
	d.page("GET /catalog/lint", engineers, (*visit).showLint)
	d.page("GET /catalog/where-used", engineers, (*visit).showWhereUsed)
	d.page("GET /catalog/difference", engineers, (*visit).showDifference)
	d.page("GET /catalog/revisions/{revision}", engineers, (*visit).checkRevision)
}

// place is a word of the head that leads to pages of a kind. It stands there
// for whoever has one of the roles.
type place struct {
	Path, Name string
	roles      []string
}

// places are the words of the head, in their order.
var places = []place{
	{"/orders", "Orders", shopPeople},
	{"/weeks", "Weeks", planners},
	{"/catalog", "Catalog", shopPeople},
	{"/people", "People", admins},
	{"/keys", "Keys", keyKeepers},
}
