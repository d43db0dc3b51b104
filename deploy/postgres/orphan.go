package postgres

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// pidFile is what a server writes about itself into postmaster.pid (PostgreSQL manual, "Database File Layout").
type pidFile struct {
	pid    int
	data   string
	socket string
	status string // "starting", "ready", "stopping", "standby"
}

// errNoPIDFile: no server has written about itself, or not all of it yet.
var errNoPIDFile = errors.New("no complete postmaster.pid")

func readPIDFile(data string) (pidFile, error) {
	text, err := os.ReadFile(filepath.Join(data, "postmaster.pid"))
	if errors.Is(err, os.ErrNotExist) {
		return pidFile{}, errNoPIDFile
	}
	if err != nil {
		return pidFile{}, err
	}
	// Lines: pid, data folder, start time, port, socket folder, TCP address, shared memory key, status.
	lines := strings.Split(string(text), "\n")
	pid, err := strconv.Atoi(strings.TrimSpace(lines[0]))
	if err != nil || pid <= 0 || len(lines) < 2 {
		return pidFile{}, errNoPIDFile
	}
	p := pidFile{pid: pid, data: lines[1]}
	if len(lines) > 4 {
		p.socket = lines[4]
	}
	if len(lines) > 7 {
		p.status = strings.TrimSpace(lines[7])
	}
	return p, nil
}

// clearLeftovers ends a server that outlived a killed supervisor and removes the socket folder that one left. We hold
// the folder's lock here, so a server on it can only be such an orphan; as a rule the kernel has already told it to
// end when its supervisor died.
func (s *Server) clearLeftovers(ctx context.Context) error {
	if p, err := readPIDFile(s.data); err == nil {
		if err := s.endOrphan(ctx, p); err != nil {
			return err
		}
		if err := s.forgetZombie(ctx, p); err != nil {
			return err
		}
	} else if !errors.Is(err, errNoPIDFile) {
		return fmt.Errorf("look for a server left running: %w", err)
	}
	if left := readLock(s.lock.f)["socket"]; left != "" {
		removeSocketDir(left, s.acct)
	}
	return nil
}

// endOrphan asks for a fast shutdown, then for an immediate one. It signals only a process that is known to be the
// server of this very folder: process ids are used again after a reboot.
func (s *Server) endOrphan(ctx context.Context, p pidFile) error {
	for _, step := range []struct {
		sig  syscall.Signal
		wait time.Duration
	}{{syscall.SIGINT, 15 * time.Second}, {syscall.SIGQUIT, 5 * time.Second}, {syscall.SIGKILL, 5 * time.Second}} {
		if !servesFrom(p.pid, s.data) {
			return nil
		}
		fmt.Fprintf(s.log, "postgres: ending server %d, left running on %s (%s)\n", p.pid, s.data, step.sig)
		if err := syscall.Kill(p.pid, step.sig); err != nil && !errors.Is(err, syscall.ESRCH) {
			return fmt.Errorf("end server %d, left running on %s: %w", p.pid, s.data, err)
		}
		if err := waitGone(ctx, p.pid, s.data, step.wait); err != nil {
			return err
		}
	}
	if servesFrom(p.pid, s.data) {
		return fmt.Errorf("server %d, left running on %s, does not end", p.pid, s.data)
	}
	return nil
}

// waitGone returns nil both when the process is gone and when the time is over; the caller looks again.
func waitGone(ctx context.Context, pid int, data string, limit time.Duration) error {
	for end := time.Now().Add(limit); time.Now().Before(end) && servesFrom(pid, data); {
		if err := pause(ctx.Done(), 10*time.Millisecond); err != nil {
			return fmt.Errorf("server %d, left running on %s, is still ending: %w", pid, data, ctx.Err())
		}
	}
	return nil
}

// zombieLimit is how long a dead server may wait for its parent to collect it; within a second or two is usual.
const zombieLimit = 3 * time.Second

// forgetZombie: a server killed along with its supervisor keeps its process id until process 1 collects it, which in
// some containers never happens, and PostgreSQL takes the bare id for a running server. When it does not go away, its
// pid file is removed: the process is certainly dead, and should children of it still live, the new server refuses
// by the shared memory they hold.
func (s *Server) forgetZombie(ctx context.Context, p pidFile) error {
	for end := time.Now().Add(zombieLimit); isZombie(p.pid); {
		if time.Now().After(end) {
			fmt.Fprintf(s.log, "postgres: server %d is dead but not collected; removing its postmaster.pid\n", p.pid)
			return os.Remove(filepath.Join(s.data, "postmaster.pid"))
		}
		if err := pause(ctx.Done(), 10*time.Millisecond); err != nil {
			return fmt.Errorf("server %d is dead but not collected: %w", p.pid, ctx.Err())
		}
	}
	return nil
}

// isZombie reads the state that follows the name in parentheses (proc(5), /proc/pid/stat).
func isZombie(pid int) bool {
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return false
	}
	after := stat[bytes.LastIndexByte(stat, ')')+1:]
	return bytes.HasPrefix(after, []byte(" Z"))
}

// servesFrom tells whether a live process is a server of this data folder: a server's working folder is its data
// folder. Without /proc nothing is known and nothing is signalled; the server's own check then refuses the start.
func servesFrom(pid int, data string) bool {
	cwd, err := os.Readlink(fmt.Sprintf("/proc/%d/cwd", pid))
	if err != nil {
		return false // gone, or dead and not yet collected by its parent
	}
	real, err := filepath.EvalSymlinks(data)
	return err == nil && cwd == real
}

// pause waits, unless stop is closed first.
func pause(stop <-chan struct{}, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-stop:
		return errStopping
	case <-t.C:
		return nil
	}
}
