package main

import (
	"flag"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/google/uuid"

	"billwright/deploy/postgres"
)

// settings are all settings of the service: flags, and the two connection
// strings that come by the environment because they hold passwords.
type settings struct {
	// Data is the folder of the private server, the keys and the app password.
	Data string
	// Catalog is the folder of the catalog that an empty database is set up
	// with; without it, the demonstration's.
	Catalog string
	// Workshop is whose pages are served where the database has several, or
	// where only the service's own role was given.
	Workshop uuid.UUID
	// Listen is the public address; loopback unless told otherwise.
	Listen string
	// Clock makes a new database a trial whose clock starts here; nil for a
	// live one.
	Clock *time.Time
	// DatabaseURL (DATABASE_URL) is the server to use instead of a private
	// one. MigrateURL (MIGRATE_DATABASE_URL) is the same database as a role
	// that may create roles and tables; without it DatabaseURL must be one.
	DatabaseURL string
	MigrateURL  string
	// Address is what people reach the service under, printed in the codes of
	// papers; without it, the host that was asked.
	Address string
	// Expose allows an address that is not loopback.
	Expose bool
	// Connections bounds the pool.
	Connections int
}

func readSettings(args []string, out io.Writer) (settings, error) {
	s := settings{DatabaseURL: os.Getenv("DATABASE_URL"), MigrateURL: os.Getenv("MIGRATE_DATABASE_URL")}
	flags := flag.NewFlagSet("start", flag.ContinueOnError)
	flags.SetOutput(out)
	flags.StringVar(&s.Data, "data", "", "`folder` of the private database and the keys; without it the user's own state folder")
	flags.StringVar(&s.Catalog, "catalog", "", "`folder` of the catalog that an empty database is set up with; without it the demonstration's")
	flags.StringVar(&s.Listen, "listen", "127.0.0.1:8417", "`address` to listen on")
	flags.StringVar(&s.Address, "address", "", "`address` that people reach the service under, such as https://desk.example, printed in the codes of papers; without it the host asked")
	flags.BoolVar(&s.Expose, "expose", false, "allow an address that is not loopback (put TLS in front of it)")
	flags.IntVar(&s.Connections, "connections", 10, "most database connections")
	clock := flags.String("clock", "", "make a new database a trial whose clock stands at this `time`, such as 2026-11-25T09:00:00-06:00")
	shop := flags.String("workshop", "", "`id` of the workshop whose pages are served, where the database has several")
	var err error
	if err := flags.Parse(args); err != nil {
		return s, err
	}
	if *shop != "" {
		if s.Workshop, err = uuid.Parse(*shop); err != nil {
			return s, fmt.Errorf("%w: --workshop %q is no id of a workshop", errUsage, *shop)
		}
	}
	if flags.NArg() > 0 {
		return s, fmt.Errorf("%w: start takes no %q", errUsage, flags.Arg(0))
	}
	if *clock != "" {
		at, err := time.Parse(time.RFC3339, *clock)
		if err != nil {
			return s, fmt.Errorf("%w: --clock %q is no time: write it as 2026-11-25T09:00:00-06:00", errUsage, *clock)
		}
		s.Clock = &at
	}
	if u, err := url.Parse(s.Address); s.Address != "" && (err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" || u.RawQuery != "" || u.Fragment != "") {
		return s, fmt.Errorf("%w: --address %q is no address: write it as https://desk.example", errUsage, s.Address)
	}
	if s.Connections < 2 || s.Connections > 500 {
		return s, fmt.Errorf("%w: --connections is from 2 to 500", errUsage)
	}
	if s.MigrateURL != "" && s.DatabaseURL == "" {
		return s, fmt.Errorf("%w: MIGRATE_DATABASE_URL is set without DATABASE_URL", errUsage)
	}
	if s.Data, err = dataFolder(s.Data); err != nil {
		return s, err
	}
	return s, s.checkListen()
}

func (s settings) checkListen() error {
	host, _, err := net.SplitHostPort(s.Listen)
	if err != nil {
		return fmt.Errorf("%w: --listen %q is no address: write 127.0.0.1:8417", errUsage, s.Listen)
	}
	ip := net.ParseIP(host)
	if s.Expose || host == "localhost" || ip != nil && ip.IsLoopback() {
		return nil
	}
	return fmt.Errorf("%w: --listen %s is not loopback: the keys would cross the network in the clear; with TLS in front of it, add --expose", errUsage, s.Listen)
}

// dataFolder is the folder told, or the default one.
func dataFolder(told string) (string, error) {
	if told != "" {
		return filepath.Abs(told)
	}
	return postgres.DefaultDir()
}
