package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"time"
)

// runClock moves the clock of a trial workshop that is being served. It only
// goes forward; a live workshop refuses.
func runClock(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("clock", flag.ContinueOnError)
	flags.SetOutput(out)
	to := flags.String("to", "", "`time` to move to, such as 2026-12-01T08:00:00-06:00")
	base := flags.String("url", "http://127.0.0.1:8417", "`address` of the service")
	key := flags.String("key", "", "`file` with an owner's key; without it the demonstration's")
	if err := flags.Parse(args); err != nil {
		return err
	}
	at, err := time.Parse(time.RFC3339, *to)
	if err != nil {
		return fmt.Errorf("%w: clock --to %q is no time: write it as 2026-12-01T08:00:00-06:00", errUsage, *to)
	}
	if *key == "" {
		folder, err := dataFolder("")
		if err != nil {
			return err
		}
		*key = filepath.Join(folder, ownerKeyFile)
	}
	text, err := readKey(*key)
	if err != nil {
		return err
	}
	body, err := json.Marshal(map[string]time.Time{"now": at})
	if err != nil {
		return err
	}
	var now struct {
		Now time.Time `json:"now"`
	}
	client := portal{base: *base, key: text, client: &http.Client{Timeout: 30 * time.Second}}
	if err := client.do(ctx, http.MethodPut, "/v1/clock", http.Header{"Content-Type": {"application/json"}}, body, &now); err != nil {
		return fmt.Errorf("move the clock: %w", err)
	}
	fmt.Fprintf(out, "the workshop's clock stands at %s\n", now.Now.Format(time.RFC3339))
	return nil
}
