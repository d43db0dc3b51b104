package api

import (
	"context"
	"net/http"
	"reflect"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"billwright/bom"
	"billwright/bom/order"
)

// Who may do what, beside what each request may see (principal.scope).
const (
	takers    = roleDealer | roleRep | roleOwner
	checkers  = takers | roleEngineer
	planners  = roleRep | roleBuyer | roleEngineer | roleOwner
	engineers = roleEngineer | roleOwner
	owners    = roleOwner
	// keyKeepers may make keys: whoever gives people their roles could do so anyway.
	keyKeepers = roleOwner | roleAdmin
)

// The bounds of a body that is a whole catalog; a large one we know of is 2 MiB.
const (
	catalogBody   = 16 << 20
	largeBodyTime = 30 * time.Second
)

// registerRoutes is the table of every route: who may take it, which function
// answers, and what it answers with.
func registerRoutes(s *Server) {
	registerHealth(s)
	registerOpenAPI(s)

	const orders, catalogs, planning, service = "orders", "catalog", "requirements", "service"
	post, get, put, del := http.MethodPost, http.MethodGet, http.MethodPut, http.MethodDelete

	add(s, route{post, "/v1/checks", "check-order", orders, "Check, price and explode an order without placing it", checkers,
		replies(s, 200, checkReply{}), []int{400, 409, 413, 415}}, s.postCheck)
	add(s, route{post, "/v1/choices", "ask-choices", orders, "Tell what may still be chosen beside what was picked", checkers, nil, []int{400, 409, 413, 415}}, s.postChoices)
	add(s, route{post, "/v1/orders", "place-order", orders, "Place an order", takers,
		replies(s, 201, order.Document{}), []int{400, 409, 413, 415}}, s.postOrder)
	add(s, route{get, "/v1/orders", "list-orders", orders, "List orders, newest first", anyRole, nil, []int{400}}, s.listOrders)
	add(s, route{get, "/v1/orders/{number}", "get-order", orders, "Get an order", anyRole,
		replies(s, 200, order.Document{}).unchanged(), []int{404}}, s.getOrder)
	add(s, route{get, "/v1/orders/{number}/bill", "get-bill", orders, "Get the whole bill of an order", anyRole,
		replies(s, 200, bom.Bill{}).unchanged(), []int{404}}, s.getBill)
	add(s, route{get, "/v1/orders/{number}/bill/working", "get-bill-working", orders, "Tell how each figure of a bill came about", anyRole,
		replies(s, 200, workingReply{}).unchanged(), []int{404, 409}}, s.getWorking)
	add(s, route{get, "/v1/orders/{number}/bill/rows/{path}/why", "get-row-why", orders, "Tell why a row of a bill is as it is", anyRole,
		replies(s, 200, whyReply{}).orText().orDrawing().unchanged(), []int{404, 409}}, s.getWhy)
	add(s, route{get, "/v1/orders/{number}/bill/layouts", "get-bill-layouts", orders, "Tell where each piece of cloth lies on the goods", anyRole,
		replies(s, 200, layoutsReply{}).orDrawing().unchanged(), []int{404, 409}}, s.getLayouts)
	add(s, route{get, "/v1/orders/{number}/bill/{part}", "get-bill-part", orders, "Get one part of a bill, such as its cut list", anyRole,
		replies(s, 200, billPart{}).orSheet().unchanged(), []int{404}}, s.getBillPart)

	workshopPeople := roleRep | roleBuyer | roleEngineer | roleShop | roleOwner
	acts := func() responses { return replies(s, 200, order.Document{}) }
	refusals := []int{400, 404, 409, 412, 413, 415, 428}
	add(s, route{put, "/v1/orders/{number}", "change-draft", orders, "Put another request in the place of a draft's", takers,
		replies(s, 200, order.DraftDocument{}), []int{400, 404, 409, 412, 413, 415, 428}}, s.putDraft)
	add(s, route{post, "/v1/orders/{number}/place", "place-draft", orders, "Make an order of a draft or of a quote", takers, acts(), refusals}, s.postPlace)
	add(s, route{post, "/v1/orders/{number}/accept", "accept-order", orders, "Accept an order: freeze it and promise a date", roleRep | roleOwner, acts(), refusals}, s.postAccept)
	add(s, route{post, "/v1/orders/{number}/release", "release-order", orders, "Release lines to the shop", roleRep | roleOwner, acts(), refusals}, s.postRelease)
	add(s, route{post, "/v1/orders/{number}/lines/{line}/start-frame", "start-frame", orders, "Let a line's frame be made before its own material is here", roleRep | roleOwner, acts(), refusals}, s.postStartFrame)
	add(s, route{post, "/v1/orders/{number}/holds", "place-hold", orders, "Place a hold on an order or a line", workshopPeople, acts(), refusals}, s.postHold)
	add(s, route{post, "/v1/orders/{number}/holds/{seq}/lift", "lift-hold", orders, "Lift a hold", workshopPeople, acts(), refusals}, s.postLift)
	add(s, route{post, "/v1/orders/{number}/close", "close-order", orders, "Close a shipped order", roleRep | roleOwner, acts(), refusals}, s.postClose)
	add(s, route{post, "/v1/orders/{number}/events", "tell-event", orders, "Tell what the shop has done to a line", roleShop | roleBuyer | roleEngineer | roleOwner, acts(), refusals}, s.postEvent)
	add(s, route{post, "/v1/orders/{number}/cancel", "cancel-order", orders, "Cancel an order, draft or quote", takers, acts(), refusals}, s.postCancel)
	add(s, route{post, "/v1/orders/{number}/shipments", "ship-cartons", orders, "Send boxed cartons of an order", roleShop | roleRep | roleOwner, acts(), refusals}, s.postShipment)
	add(s, route{get, "/v1/orders/{number}/cartons", "get-cartons", orders, "Tell how far each carton of an order has come", anyRole, nil, []int{404, 409}}, s.getCartons)
	reps := roleRep | roleOwner
	linked := func() responses { return replies(s, 201, order.Document{}) }
	add(s, route{post, "/v1/orders/{number}/copies", "copy-order", orders, "Make a draft of what an order asked for, under the catalog in force", takers,
		replies(s, 201, order.DraftDocument{}), []int{400, 404, 409, 413, 415}}, s.postCopy)
	add(s, route{post, "/v1/orders/{number}/splits", "split-order", orders, "Move lines or units that are not released to another order", reps, linked(), refusals}, s.postSplit)
	add(s, route{post, "/v1/orders/{number}/parts", "order-parts", orders, "Order replacement parts of what has shipped", takers, linked(), refusals}, s.postParts)
	add(s, route{post, "/v1/orders/{number}/remakes", "remake-unit", orders, "Make a shipped unit again as it was made", reps, linked(), refusals}, s.postRemake)
	add(s, route{get, "/v1/orders/{number}/links", "get-links", orders, "Tell which order an order came of, and which came of it", anyRole, nil, []int{404}}, s.getLinks)
	add(s, route{get, "/v1/orders/{number}/locks", "get-locks", orders, "Tell what may no longer be changed on an order, and why", workshopPeople, nil, []int{404}}, s.getLocks)
	changers := roleRep | roleEngineer | roleOwner
	add(s, route{post, "/v1/orders/{number}/changes", "propose-change", orders, "Propose a change and see all that it makes otherwise", changers,
		replies(s, 201, changeReply{}), refusals}, s.postChange)
	add(s, route{get, "/v1/orders/{number}/changes", "list-order-changes", orders, "List the proposed changes of an order, newest first", anyRole, nil, []int{404}}, s.listChanges)
	add(s, route{get, "/v1/orders/{number}/changes/{change}", "get-change", orders, "Get a proposed change with its difference", anyRole, nil, []int{404}}, s.getChange)
	add(s, route{post, "/v1/orders/{number}/changes/{change}/approve", "approve-change", orders, "Apply a proposed change", changers, acts(), refusals}, s.postApprove)
	add(s, route{post, "/v1/orders/{number}/changes/{change}/decline", "decline-change", orders, "Decline a proposed change", changers,
		replies(s, 200, changeReply{}), refusals}, s.postDecline)
	add(s, route{get, "/v1/orders/{number}/versions", "list-order-versions", orders, "List the superseded versions of an order", anyRole, nil, []int{404}}, s.listVersions)
	add(s, route{get, "/v1/orders/{number}/acknowledgment", "get-acknowledgment", orders, "Get the acknowledgment of an order", anyRole,
		replies(s, 200, order.Acknowledgment{}).orPaper().unchanged(), []int{404, 409}}, s.getAcknowledgment)
	add(s, route{get, "/v1/orders/{number}/papers", "list-papers", orders, "List the departments that have a paper of an order", workshopPeople, nil, []int{404, 409}}, s.listPapers)
	add(s, route{get, "/v1/orders/{number}/papers/{department}", "get-paper", orders, "Print the paper of a department, or the whole packet", workshopPeople,
		responses{"200": {Description: "OK", Content: map[string]*huma.MediaType{}}}.orPaper(), []int{404, 409}}, s.getPaper)
	add(s, route{get, "/v1/orders/{number}/labels", "get-labels", orders, "Print the labels of an order's cartons or parts", workshopPeople,
		responses{"200": {Description: "OK", Content: map[string]*huma.MediaType{}}}.orPaper(), []int{404, 409}}, s.getLabels)
	add(s, route{post, "/v1/orders/{number}/notes", "add-note", orders, "Write a note beside an order, for one of three audiences", anyRole,
		replies(s, 201, noteReply{}), refusals}, s.postNote)
	add(s, route{get, "/v1/orders/{number}/notes", "list-notes", orders, "List the notes of an order", anyRole, nil, []int{400, 404}}, s.getNotes)
	add(s, route{post, "/v1/orders/{number}/attachments", "attach-file", orders, "Keep a file with an order: PDF, PNG, JPEG, WebP, TIFF, DXF, CSV or text, at most 8 MiB; 20 files and 40 MiB for an audience", anyRole,
		replies(s, 201, attachmentReply{}), refusals}, s.postAttachment, order.MaxAttachment)
	add(s, route{get, "/v1/orders/{number}/attachments", "list-attachments", orders, "List the files that go with an order", anyRole, nil, []int{400, 404}}, s.listAttachments)
	add(s, route{get, "/v1/orders/{number}/attachments/{audience}/{attachment}", "get-attachment", orders, "Get a file that goes with an order", anyRole, attachmentBytes(), []int{404}}, s.getAttachment)
	add(s, route{get, "/v1/orders/{number}/audit", "get-audit", orders, "Tell who did what to an order, when and why", roleRep | roleOwner, replies(s, 200, trailReply{}), []int{404}}, s.getTrail)
	add(s, route{get, "/v1/changes", "list-changes", orders, "Tell what happened to one's orders since a cursor", anyRole, nil, []int{400}}, s.getNews)
	add(s, route{post, "/v1/orders/{number}/own-material/checks", "check-own-material", orders, "Check what came of customer's own material without storing it", anyRole,
		replies(s, 200, ownMaterialReply{}), []int{400, 404, 409, 413, 415}}, s.postOwnMaterial)

	add(s, route{post, "/v1/orders/{number}/own-material/receipts", "tell-own-material", orders, "Write down what came of customer's own material; enough of it lifts its hold", roleRep | roleBuyer | roleShop | roleOwner,
		replies(s, 200, ownReceiptReply{}), refusals}, s.postOwnReceipt)
	add(s, route{get, "/v1/orders/{number}/own-material", "get-own-material", orders, "Tell what came of customer's own material and what is short", anyRole, replies(s, 200, ownMaterialList{}), []int{404, 409}}, s.getOwnMaterial)

	add(s, route{post, "/v1/imports", "import-orders", orders, "Load a file of orders by a mapping, or tell what would become of it", roleRep | roleOwner, importStatus(s), []int{400, 409, 413, 415}}, s.postImport, importBody)
	add(s, route{get, "/v1/imports", "list-imports", orders, "List the newest imports", roleRep | roleOwner, nil, nil}, s.listImports)
	add(s, route{get, "/v1/imports/{id}", "get-import", orders, "Tell how far an import is", roleRep | roleOwner, nil, []int{404}}, s.getImport)

	add(s, route{get, "/v1/requirements/{week}", "get-requirements", planning, "Sum what must be here within a week", planners,
		replies(s, 200, weekReply{}).orSheet(), []int{400}}, s.getRequirements)

	buyers := roleBuyer | roleOwner
	add(s, route{get, "/v1/requirements", "list-weeks", planning, "Tell what waits in the weeks ahead", planners, nil, []int{400}}, s.listWeeks)
	add(s, route{get, "/v1/requirements/now", "get-late-requirements", planning, "Sum what should have been here before today", planners, nil, nil}, s.getLate)
	add(s, route{get, "/v1/requirements/{week}/pegs", "get-pegs", planning, "Tell which orders need an item of a week", planners, nil, []int{400}}, s.getPegs)
	add(s, route{get, "/v1/orders/{number}/requirements", "get-order-requirements", planning, "Tell what an order needs, and by when", planners, nil, []int{404}}, s.getOrderNeeds)
	add(s, route{get, "/v1/load", "get-load", planning, "Tell roughly what orders take of the departments, week by week", workshopPeople,
		replies(s, 200, loadReply{}).orDrawing(), []int{400, 409}}, s.getLoad)
	add(s, route{post, "/v1/pulls", "make-pull", planning, "Pull what a week needs of a kind and was not pulled yet", buyers,
		replies(s, 201, pullReply{}), []int{400, 409, 413, 415}}, s.postPull)
	add(s, route{get, "/v1/pulls", "list-pulls", planning, "List the pulls, newest first", planners, nil, nil}, s.listPulls)
	add(s, route{get, "/v1/pulls/{pull}", "get-pull", planning, "Get a pull as it was made", planners, replies(s, 200, pullReply{}).orSheet(), []int{404}}, s.getPull)
	add(s, route{get, "/v1/pulls/{pull}/bars", "get-pull-bars", planning, "Get the plan of bars stored with a pull, of all that was pulled until then", planners,
		replies(s, 200, pullPlan{}).orSheet().orDrawing(), []int{404}}, s.getPullBars)
	add(s, route{get, "/v1/pulls/{pull}/sheets", "get-pull-sheets", planning, "Get the plan of sheets stored with a pull, of all that was pulled until then", planners,
		replies(s, 200, pullPlan{}).orSheet().orDrawing(), []int{404}}, s.getPullSheets)
	add(s, route{post, "/v1/purchases", "note-purchase", planning, "Write down that something was ordered, received or found short", buyers | roleShop,
		replies(s, 201, purchaseReply{}), []int{400, 409, 413, 415}}, s.postPurchase)
	add(s, route{get, "/v1/purchases", "list-purchases", planning, "List what was ordered, received or found short for a week, newest first", planners, nil, []int{400}}, s.listPurchases)
	add(s, route{put, "/v1/stock/{kind}/{item}", "count-stock", planning, "Keep a count of what is on hand", buyers | roleShop, nil, []int{400, 413, 415}}, s.putStock)
	add(s, route{get, "/v1/stock/{kind}/{item}", "get-stock", planning, "Tell what is on hand as last counted", planners, nil, []int{400}}, s.getStock)
	add(s, route{get, "/v1/requirements/{week}/bars", "get-week-bars", planning, "Plan the bars of a week's pieces across orders", planners,
		replies(s, 200, weekBars{}).orSheet().orDrawing(), []int{400, 409}}, s.getWeekBars)
	add(s, route{get, "/v1/requirements/{week}/sheets", "get-week-sheets", planning, "Plan the sheets of a week's pieces across orders", planners,
		replies(s, 200, weekSheets{}).orSheet().orDrawing(), []int{400, 409}}, s.getWeekSheets)
	add(s, route{get, "/v1/orders/{number}/sheets", "get-order-sheets", planning, "Plan the sheets of an order's pieces", planners,
		replies(s, 200, orderSheets{}).orSheet().orDrawing(), []int{400, 404, 409}}, s.getOrderSheets)
	add(s, route{get, "/v1/orders/{number}/bars", "get-order-bars", planning, "Plan the bars of an order's pieces", planners,
		replies(s, 200, orderBars{}).orSheet().orDrawing(), []int{400, 404, 409}}, s.getOrderBars)

	add(s, route{get, "/v1/requirements/{week}/cut-list", "get-cut-list", planning, "Print the cut list of a week across orders", planners | roleShop,
		responses{"200": {Description: "OK", Content: map[string]*huma.MediaType{}}}.orPaper(), []int{400, 409}}, s.getCutList)

	add(s, route{post, "/v1/substitutions", "make-substitution", catalogs, "Take another material in place of one until a day", engineers,
		replies(s, 201, substitutionReply{}), []int{400, 409, 413, 415}}, s.postSubstitution)
	add(s, route{get, "/v1/substitutions", "list-substitutions", catalogs, "List what is taken in place of something else", workshopPeople, nil, []int{409}}, s.listSubstitutions)
	add(s, route{post, "/v1/substitutions/{substitution}/end", "end-substitution", catalogs, "End a substitution before its last day", engineers, nil, []int{400, 404, 409, 413, 415}}, s.postEndSubstitution)

	add(s, route{get, "/v1/catalog", "get-catalog", catalogs, "Tell which catalog is in force", anyRole, nil, []int{409}}, s.getCatalog)
	add(s, route{get, "/v1/catalog/products", "list-products", catalogs, "List the products", anyRole, nil, []int{409}}, s.listProducts)
	add(s, route{get, "/v1/catalog/dealers", "list-dealers", catalogs, "List the dealers and their terms", workshopPeople, nil, []int{409}}, s.listDealers)
	add(s, route{get, "/v1/catalog/products/{code}", "get-product", catalogs, "Tell what may be chosen of a product", anyRole, nil, []int{404, 409}}, s.getProduct)
	add(s, route{get, "/v1/catalog/species", "list-species", catalogs, "List the species of tops", anyRole, nil, []int{409}}, s.listSpecies)
	add(s, route{get, "/v1/catalog/finishes", "list-finishes", catalogs, "List the finishes of metal and wood", anyRole, nil, []int{409}}, s.listFinishes)
	add(s, route{get, "/v1/catalog/fabrics", "list-fabrics", catalogs, "List the fabrics", anyRole, nil, []int{409}}, s.listFabrics)
	add(s, route{get, "/v1/catalog/sections", "list-sections", catalogs, "List the steel sections", anyRole, nil, []int{409}}, s.listSections)
	add(s, route{get, "/v1/catalog/standards", "list-standards", catalogs, "List the shop standards", anyRole, nil, []int{409}}, s.listStandards)
	add(s, route{get, "/v1/catalog/rules", "list-rules", catalogs, "List the rules between choices", anyRole, nil, []int{409}}, s.listRules)
	add(s, route{get, "/v1/catalog/lint", "lint-rules", catalogs, "Tell what is wrong with the rules as a whole", engineers, nil, []int{409}}, s.getLint)
	add(s, route{get, "/v1/catalog/where-used", "where-used", catalogs, "Tell where a rule or an option is used", engineers, nil, []int{404, 409}}, s.getWhereUsed)
	add(s, route{post, "/v1/catalog/checks", "check-catalog", catalogs, "Check a whole catalog without storing it", engineers, nil, []int{400, 413, 415}}, s.postCatalogCheck, catalogBody)
	add(s, route{post, "/v1/catalog/revisions", "store-catalog", catalogs, "Store a whole catalog as the next revision", engineers,
		replies(s, 201, revisionReply{}), []int{400, 409, 413, 415}}, s.postRevision, catalogBody)
	add(s, route{get, "/v1/catalog/revisions", "list-revisions", catalogs, "List the revisions of the catalog, newest first", engineers, nil, nil}, s.listRevisions)
	add(s, route{get, "/v1/catalog/revisions/{revision}/files", "list-revision-files", catalogs, "List the files of a revision", engineers, nil, []int{404}}, s.listRevisionFiles)
	add(s, route{get, "/v1/catalog/revisions/{revision}/file", "get-revision-file", catalogs, "Get a file of a revision byte for byte", engineers,
		fileReply(), []int{404}}, s.getRevisionFile)
	add(s, route{get, "/v1/catalog/differences", "get-differences", catalogs, "Tell two revisions apart, and which open orders that touches", engineers, nil, []int{404}}, s.getDifferences)

	add(s, route{get, "/v1/clock", "get-clock", service, "Tell a trial workshop's time", owners, nil, []int{409}}, s.getClock)
	add(s, route{put, "/v1/clock", "move-clock", service, "Move a trial workshop's clock forward", owners, nil, []int{400, 409, 413, 415}}, s.putClock)
	add(s, route{post, "/v1/keys", "make-key", service, "Make a key", keyKeepers, replies(s, 201, keyShown{}), []int{400, 409, 413, 415}}, s.postKey)
	add(s, route{get, "/v1/keys", "list-keys", service, "List the keys", keyKeepers, nil, nil}, s.listKeys)
	add(s, route{del, "/v1/keys/{id}", "revoke-key", service, "Revoke a key", keyKeepers, nil, []int{404}}, s.deleteKey)

	leaveRepliesOpen(s.api.OpenAPI())
}

// route is one row of the table.
type route struct {
	method, path, id, tag, says string
	roles                       role
	// gives documents a reply that the handler writes itself; nil leaves it to
	// the type that the handler returns.
	gives responses
	// errors are the refusals beside those that any route may answer with.
	errors []int
}

// metaRoles is the key in an operation's metadata of the roles it admits.
const metaRoles = "roles"

// keyScheme is the document's name of the bearer key.
const keyScheme = "key"

// add registers a route that wants a key. maxBody bounds a body that may be
// larger than others, in bytes.
func add[In, Out any](s *Server, r route, h func(context.Context, *In) (*Out, error), maxBody ...int64) {
	if r.gives == nil {
		r.gives = responses{}
	}
	r.gives["default"] = &huma.Response{Description: "Any refusal.", Content: map[string]*huma.MediaType{problemType: {Schema: schemaOf(s, Problem{})}}}
	op := huma.Operation{
		OperationID: r.id, Method: r.method, Path: r.path, Summary: r.says, Tags: []string{r.tag},
		Description: "For keys with the role " + (r.roles &^ roleAdmin).String() + ".",
		Security:    []map[string][]string{{keyScheme: {}}},
		Middlewares: huma.Middlewares{s.admit(r.roles)},
		Metadata:    map[string]any{metaRoles: r.roles},
		Errors:      append([]int{401, 403, 503}, r.errors...),
		Responses:   r.gives,
	}
	if _, creates := r.gives["201"]; creates {
		op.DefaultStatus = http.StatusCreated
	}
	for _, most := range maxBody {
		op.MaxBodyBytes, op.BodyReadTimeout = most, largeBodyTime
	}
	register(s, op, h)
	for _, p := range s.parameters(r.method, r.path) {
		// The handler itself refuses a request without it, by 400 and not 422.
		if p.Name == "Idempotency-Key" {
			p.Required = true
		}
	}
}

func (s *Server) parameters(method, path string) []*huma.Param {
	item := s.api.OpenAPI().Paths[path]
	for _, op := range []*huma.Operation{item.Get, item.Post, item.Put, item.Delete} {
		if op != nil && op.Method == method {
			return op.Parameters
		}
	}
	return nil
}

// responses documents replies by their status.
type responses map[string]*huma.Response

// replies documents a JSON reply of v's type.
func replies(s *Server, status int, v any) responses {
	return responses{strconv.Itoa(status): {
		Description: http.StatusText(status),
		Content:     map[string]*huma.MediaType{"application/json": {Schema: schemaOf(s, v)}},
	}}
}

func schemaOf(s *Server, v any) *huma.Schema {
	return s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeOf(v), true, "")
}

// orSheet adds that the reply also comes as CSV and as a workbook.
func (r responses) orSheet() responses {
	r["200"].Content[xlsxType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	r["200"].Content["text/csv"] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	return r
}

// orDrawing adds that the reply also comes as a drawing.
func (r responses) orDrawing() responses {
	r["200"].Content[svgType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	return r
}

// orPaper adds that the reply also comes as a paper, to print.
func (r responses) orPaper() responses {
	r["200"].Content[pdfType] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}
	r["200"].Content["text/html"] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	return r
}

// orText adds the reply's form for a person to read.
func (r responses) orText() responses {
	r["200"].Content["text/plain"] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	return r
}

// unchanged adds the reply to If-None-Match.
func (r responses) unchanged() responses {
	r["304"] = &huma.Response{Description: "The client has it already."}
	return r
}
