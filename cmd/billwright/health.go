package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"net/http"
	"time"
)

// runHealth asks a service whether it is ready, for a container without a
// shell.
func runHealth(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("health", flag.ContinueOnError)
	flags.SetOutput(out)
	base := flags.String("url", "http://127.0.0.1:8417", "`address` of the service")
	if err := flags.Parse(args); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, *base+"/readyz", nil)
	if err != nil {
		return fmt.Errorf("%w: --url %q is no address", errUsage, *base)
	}
	reply, err := http.DefaultClient.Do(request)
	if err != nil {
		return fmt.Errorf("not reached: %w", err)
	}
	defer reply.Body.Close()
	if reply.StatusCode != http.StatusOK {
		return fmt.Errorf("not ready: %s", reply.Status)
	}
	fmt.Fprintln(out, "ready")
	return nil
}
