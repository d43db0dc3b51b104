package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/google/uuid"

	"billwright/api"
	"billwright/desk"
)

// withDesk puts the pages beside the interface, under one listener. A database
// of several workshops is served without pages unless --workshop tells whose.
func withDesk(server *api.Server, shop workshop, log *slog.Logger) (http.Handler, error) {
	if shop.ID == uuid.Nil {
		return server.Handler(), nil
	}
	pages, err := desk.New(desk.Settings{API: server, Workshop: shop.ID, Name: shop.Name, Log: log})
	if err != nil {
		return nil, err
	}
	return beside(server.Handler(), pages.Handler()), nil
}

// beside parts the interface from the pages by the path. A mux would rewrite
// paths that hold a row's own slashes.
func beside(interfaces, pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p := r.URL.Path; strings.HasPrefix(p, "/v1/") || p == "/healthz" || p == "/readyz" {
			interfaces.ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	})
}

// letFirstAdminIn prints where people sign in and, while there is no admin, the
// link by which the first comes in.
func letFirstAdminIn(ctx context.Context, db *database, shop workshop, base string, out io.Writer) error {
	if shop.ID == uuid.Nil {
		return nil
	}
	token, err := api.OfferFirstAdmin(ctx, db.Pool, shop.ID, time.Now())
	if err != nil {
		return fmt.Errorf("offer the first admin's link: %w", err)
	}
	fmt.Fprintf(out, "%speople sign in at %s/\n", deskLine, base)
	if token != "" {
		fmt.Fprintf(out, "%snobody may yet: the first admin comes in by %s/first-admin?token=%s (once, within 24 hours)\n", deskLine, base, token)
	}
	return nil
}

// deskLine begins each line that start prints of the pages.
const deskLine = "desk: "
