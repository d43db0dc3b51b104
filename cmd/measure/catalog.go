package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/deploy/postgres"
)

// measureCatalog measures how long catalogs take to be checked and loaded, what
// memory a large one takes, and whether orders that come in while revisions are
// stored are ever refused or made of two revisions.
func measureCatalog(ctx context.Context, r *report, _ []string) error {
	dir, binary, clear, err := workplace(ctx)
	if err != nil {
		return err
	}
	defer clear()
	small, large := filepath.Join(dir, "demonstration"), filepath.Join(dir, "large")
	if err := writeFolder(small, demonstration.Files()); err != nil {
		return err
	}
	if err := measureChecks(ctx, r, binary, small, large); err != nil {
		return err
	}
	return measureRevisions(ctx, r, binary, small, large, filepath.Join(dir, "data"))
}

func measureChecks(ctx context.Context, r *report, binary, small, large string) error {
	used, err := catalogCommand(ctx, r, binary, nil, "check", small)
	if err != nil {
		return err
	}
	r.atMost("catalog.check.demonstration", used.elapsed.Seconds(), "s", 0.5)
	files, rows, err := largeCatalog()
	if err != nil {
		return err
	}
	if err := writeFolder(large, files); err != nil {
		return err
	}
	r.note("large catalog: %d products and %d rows made for the measure, in %d files of %.1f MiB, beside the demonstration's", largeProducts, rows, len(files), size(files))
	if used, err = catalogCommand(ctx, r, binary, nil, "check", large); err != nil {
		return err
	}
	r.atMost("catalog.check.large", used.elapsed.Seconds(), "s", 10)
	r.atMost("catalog.check.large.memory", used.memory/(1<<20), "MiB", 300)
	return nil
}

// measureRevisions needs a database that is there already, as an engineer has.
func measureRevisions(ctx context.Context, r *report, binary, small, large, data string) error {
	server, err := postgres.Start(ctx, postgres.Options{Dir: filepath.Join(data, "postgres")})
	if err != nil {
		return err
	}
	defer server.Stop(context.WithoutCancel(ctx)) //nolint:errcheck // the folder is thrown away
	admin, err := pgx.Connect(ctx, server.URL("postgres", "postgres"))
	if err != nil {
		return err
	}
	defer admin.Close(ctx)
	if _, err := admin.Exec(ctx, `create database billwright`); err != nil {
		return err
	}
	urls := []string{"DATABASE_URL=" + server.URL("billwright_app", "billwright"), "MIGRATE_DATABASE_URL=" + server.URL("postgres", "billwright")}
	svc, _, err := startService(ctx, binary, data, urls...)
	if err != nil {
		return err
	}
	err = measureSwitch(ctx, r, svc, data, server.URL("postgres", "billwright"))
	if stopErr := svc.stop(); stopErr != nil {
		r.note("stop after the switches: %v", stopErr)
	}
	if err != nil {
		return err
	}
	used, err := catalogCommand(ctx, r, binary, urls, "load", small)
	if err != nil {
		return err
	}
	r.atMost("catalog.load.demonstration", used.elapsed.Seconds(), "s", 2)
	if used, err = catalogCommand(ctx, r, binary, urls, "load", large); err != nil {
		return err
	}
	r.note("the large catalog is loaded in %.2f s with %.1f MiB", used.elapsed.Seconds(), used.memory/(1<<20))
	return nil
}

// usage is what a command took; memory is the most that was resident, in bytes.
type usage struct {
	elapsed time.Duration
	memory  float64
}

// catalogCommand runs the program's catalog command as an engineer would. The
// kernel's own account of a child that ended also counts what its parent had
// when it was made; so its peak is read from /proc while it runs.
func catalogCommand(ctx context.Context, r *report, binary string, env []string, args ...string) (usage, error) {
	cmd := exec.CommandContext(ctx, binary, append([]string{"catalog"}, args...)...)
	cmd.Env = append(without(os.Environ(), "DATABASE_URL", "MIGRATE_DATABASE_URL"), env...)
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM}
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	began := time.Now()
	if err := cmd.Start(); err != nil {
		return usage{}, err
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	used := usage{}
	for running := true; running; {
		var err error
		select {
		case err = <-ended:
			used.elapsed, running = time.Since(began), false
		case <-time.After(2 * time.Millisecond):
			if peak, found := peakMemory(cmd.Process.Pid); found {
				used.memory = max(used.memory, peak)
			}
		}
		if err != nil {
			return used, fmt.Errorf("billwright catalog %s: %w\n%s", args[0], err, out.Bytes())
		}
	}
	r.note("billwright catalog %s: %s, %.1f MiB: %s", args[0], used.elapsed.Round(time.Millisecond), used.memory/(1<<20), lastLine(out.Bytes()))
	return used, nil
}

// peakMemory is the most that a running process had resident, in bytes.
func peakMemory(pid int) (float64, bool) {
	bytes, err := (&service{cmd: &exec.Cmd{Process: &os.Process{Pid: pid}}}).memory("VmHWM")
	return bytes, err == nil
}

func lastLine(out []byte) string {
	text := string(out)
	for len(text) > 0 && text[len(text)-1] == '\n' {
		text = text[:len(text)-1]
	}
	for i := len(text) - 1; i >= 0; i-- {
		if text[i] == '\n' {
			return text[i+1:]
		}
	}
	return text
}

func writeFolder(dir string, files []source.File) error {
	for _, file := range files {
		path := filepath.Join(dir, filepath.FromSlash(file.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, file.Bytes, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// size is that of files in MiB.
func size(files []source.File) float64 {
	n := 0
	for _, file := range files {
		n += len(file.Bytes)
	}
	return float64(n) / (1 << 20)
}
