package api

import "maps"

type matrixRow = struct {
	body    string
	status  int
	admits  role
	other   int
	headers []string
	query   string
}

// The routes of what stands beside an order, and of what is told of orders.
func init() {
	maps.Copy(matrix, map[string]matrixRow{
		"POST /v1/orders/{number}/notes":                              {body: `{"text":"x","audience":"dealer"}`, status: 201, admits: anyRole, other: 404, headers: []string{"Idempotency-Key: NEW"}},
		"GET /v1/orders/{number}/notes":                               {status: 200, admits: anyRole, other: 404},
		"POST /v1/orders/{number}/attachments":                        {body: `x`, status: 422, admits: anyRole, other: 404, headers: []string{"Idempotency-Key: NEW"}, query: "?name=x.exe&audience=dealer"},
		"GET /v1/orders/{number}/attachments":                         {status: 200, admits: anyRole, other: 404},
		"GET /v1/orders/{number}/attachments/{audience}/{attachment}": {status: 404, admits: anyRole, other: 404},
		"GET /v1/orders/{number}/audit":                               {status: 200, admits: roleRep | roleOwner},
		"POST /v1/orders/{number}/own-material/receipts":              {body: `{"act":"received","line":1,"amount":"6 yd"}`, status: 422, admits: roleRep | roleBuyer | roleShop | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
		"GET /v1/orders/{number}/own-material":                        {status: 200, admits: anyRole, other: 404},
		"POST /v1/imports":                                            {body: `{"mapping":"file: csv","file":"eA=="}`, status: 422, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
		"GET /v1/imports":                                             {status: 200, admits: roleRep | roleOwner},
		"GET /v1/imports/{id}":                                        {status: 404, admits: roleRep | roleOwner},
		"GET /v1/changes":                                             {status: 200, admits: anyRole, other: 200},
	})
}
