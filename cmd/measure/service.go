package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// service is the program under measurement, a process of its own.
type service struct {
	cmd  *exec.Cmd
	base string
	log  *os.File
}

// buildService compiles the program as an operator would get it.
func buildService(ctx context.Context, dir string) (string, error) {
	binary := filepath.Join(dir, "billwright")
	build := exec.CommandContext(ctx, "go", "build", "-o", binary, "./cmd/billwright")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("build the service: %w\n%s", err, out)
	}
	return binary, nil
}

// startService runs the program and waits for its first answer; elapsed is the
// time from the start of the process to that answer.
func startService(ctx context.Context, binary, data string, env ...string) (_ *service, elapsed time.Duration, err error) {
	address, err := freeAddress()
	if err != nil {
		return nil, 0, err
	}
	log, err := os.Create(filepath.Join(filepath.Dir(binary), "service.log"))
	if err != nil {
		return nil, 0, err
	}
	cmd := exec.Command(binary, "start", "--data", data, "--listen", address)
	cmd.Env = append(without(os.Environ(), "DATABASE_URL", "MIGRATE_DATABASE_URL"), env...)
	cmd.Stdout, cmd.Stderr = log, log
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGTERM}
	began := time.Now()
	if err := cmd.Start(); err != nil {
		return nil, 0, fmt.Errorf("start the service: %w", err)
	}
	s := &service{cmd: cmd, base: "http://" + address, log: log}
	for time.Since(began) < time.Minute {
		if s.answers(ctx) {
			return s, time.Since(began), nil
		}
		time.Sleep(2 * time.Millisecond)
	}
	_ = s.stop()
	text, _ := os.ReadFile(log.Name())
	return nil, 0, fmt.Errorf("the service did not answer within a minute:\n%s", text)
}

func (s *service) answers(ctx context.Context) bool {
	ctx, cancel := context.WithTimeout(ctx, time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, s.base+"/readyz", nil)
	if err != nil {
		return false
	}
	reply, err := http.DefaultClient.Do(request)
	if err != nil {
		return false
	}
	defer reply.Body.Close()
	return reply.StatusCode == http.StatusOK
}

// stop ends the service by SIGTERM, by its process id, and waits for it.
func (s *service) stop() error {
	defer s.log.Close()
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	done := make(chan error, 1)
	go func() { done <- s.cmd.Wait() }()
	select {
	case err := <-done:
		return err
	case <-time.After(30 * time.Second):
		_ = s.cmd.Process.Kill()
		return errors.Join(errors.New("the service did not stop within 30 s"), <-done)
	}
}

// memory is a field of /proc/PID/status in bytes, such as VmRSS.
func (s *service) memory(field string) (float64, error) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	if err != nil {
		return 0, err
	}
	for line := range strings.Lines(string(status)) {
		if rest, found := strings.CutPrefix(line, field+":"); found {
			kib, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
			return kib * 1024, err
		}
	}
	return 0, fmt.Errorf("no %s in the process status", field)
}

func freeAddress() (string, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	defer listener.Close()
	return listener.Addr().String(), nil
}

func without(env []string, names ...string) []string {
	var kept []string
next:
	for _, pair := range env {
		for _, name := range names {
			if strings.HasPrefix(pair, name+"=") {
				continue next
			}
		}
		kept = append(kept, pair)
	}
	return kept
}
