package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"time"

	"billwright/api"
	"billwright/migrations"
)

// runStart starts the service and keeps it serving until it is told to stop. On
// the demonstration workshop it first takes the example order over HTTP and
// prints its bill.
func runStart(ctx context.Context, args []string, out io.Writer) error {
	s, err := readSettings(args, out)
	if err != nil {
		return err
	}
	tuneCollector()
	db, err := openDatabase(ctx, s)
	if err != nil {
		return err
	}
	defer db.close()
	shop, err := prepareWorkshop(ctx, s, db)
	if err != nil {
		return err
	}
	log := slog.New(slog.NewJSONHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))
	server, err := api.New(api.Settings{
		Log:     log,
		Pool:    db.Pool,
		Address: s.Address,
		Clock:   time.Now,
		Ready:   func(ctx context.Context) error { return migrations.Verify(ctx, db.Pool) },
		// Rough sums may be this old.
		LoadAge: 5 * time.Second,
	})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", s.Listen)
	if err != nil {
		return fmt.Errorf("listen: %w", err)
	}
	base := "http://" + listener.Addr().String()
	web := server.HTTPServer(s.Listen)
	if web.Handler, err = withDesk(server, shop, log); err != nil {
		return errors.Join(err, listener.Close())
	}
	served := make(chan error, 1)
	go func() { served <- web.Serve(listener) }()
	fmt.Fprintf(out, "billwright serves %s on %s\n", shop.Name, base)
	if err := letFirstAdminIn(ctx, db, shop, base, out); err != nil {
		return errors.Join(err, stop(web))
	}
	if shop.Demonstration {
		// Told to stop before it was through, it stops; nothing is wrong.
		if err := demonstrate(ctx, base, shop, out); err != nil && ctx.Err() == nil {
			return errors.Join(err, stop(web))
		}
	} else {
		fmt.Fprintln(out, ownLine)
	}
	return serve(ctx, db, web, served, out)
}

// ownLine is printed of a workshop that is not the demonstration.
const ownLine = "It goes by a catalog of its own, so no example order is posted."

// tuneCollector lets garbage grow to four times what lives before it is
// collected, since what lives is small (a catalog, some keys): collecting took
// a sixth of the service's time by the default. Towards the limit it is
// collected as before.
func tuneCollector() {
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(400)
		debug.SetMemoryLimit(128 << 20)
	}
}

// serve waits until the service is told to stop, or something below it ends.
func serve(ctx context.Context, db *database, web *http.Server, served <-chan error, out io.Writer) error {
	var databaseDone <-chan struct{}
	if db.private != nil {
		databaseDone = db.private.Done()
	}
	select {
	case <-ctx.Done():
		fmt.Fprintln(out, "billwright stops")
		return stop(web)
	case err := <-served:
		return fmt.Errorf("serve: %w", err)
	case <-databaseDone:
		return errors.Join(fmt.Errorf("the private database ended: %w", db.private.Err()), stop(web))
	}
}

// stop lets running requests end before it closes.
func stop(web *http.Server) error {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	if err := web.Shutdown(ctx); err != nil {
		return fmt.Errorf("stop serving: %w", err)
	}
	return nil
}
