package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"runtime"
	"strings"
	"syscall"
	"time"
)

const (
	launchTries  = 100                    // a dead predecessor's processes are gone after a few
	launchPause  = 100 * time.Millisecond // between two tries
	readyPoll    = 5 * time.Millisecond
	quickDeaths  = 10              // in a row, then the supervisor gives up
	steadyRun    = 2 * time.Second // after this long a death no longer counts as one in a row
	impatience   = 10 * time.Second
	cleanupLimit = 10 * time.Second
)

// process is one run of the server.
type process struct {
	cmd    *exec.Cmd
	exited chan struct{} // closed after err is set
	err    error
	words  *tail
}

// signal: SIGKILL goes to the process group; every other signal to the first process, which passes it on.
func (p *process) signal(sig syscall.Signal) {
	select {
	case <-p.exited: // the id may already be another's
		return
	default:
	}
	if sig == syscall.SIGKILL {
		_ = syscall.Kill(-p.cmd.Process.Pid, sig)
	}
	_ = p.cmd.Process.Signal(sig)
}

// keep launches the server and launches it again when it dies unasked. It stays on one thread for the server's whole
// life, because the kernel tells the server to end when the thread that forked it does.
func (s *Server) keep(ctx context.Context, ready chan<- error) {
	runtime.LockOSThread() // never unlocked: the thread ends with this goroutine
	defer close(s.done)
	defer s.release()
	p, err := s.launch(ctx.Done())
	if errors.Is(err, errStopping) && ctx.Err() != nil {
		err = fmt.Errorf("start the database: %w", ctx.Err())
	}
	ready <- err
	for deaths := 0; err == nil; {
		began := time.Now()
		if s.isStopping() { // told so between two runs, when there was no process to signal
			p.signal(syscall.SIGINT)
		}
		<-p.exited
		s.setProcess(nil)
		if s.isStopping() {
			return
		}
		if time.Since(began) > steadyRun {
			deaths = 0
		}
		if deaths++; deaths >= quickDeaths {
			err = withWords(fmt.Errorf("the database died %d times in a row, lastly with: %w", deaths, p.err), p.words.String())
			break
		}
		fmt.Fprintf(s.log, "postgres: the server ended unasked (%v); starting it again\n", p.err)
		if err = s.pauseUnlessStopping(nil, time.Duration(deaths-1)*launchPause); err == nil {
			p, err = s.launch(nil)
		}
	}
	if !s.isStopping() {
		s.mu.Lock()
		s.err = err
		s.mu.Unlock()
	}
}

func (s *Server) isStopping() bool {
	select {
	case <-s.stopping:
		return true
	default:
		return false
	}
}

// setProcess makes a run known to signal and PID.
func (s *Server) setProcess(p *process) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.proc = p
}

// launch starts the server and returns when it takes connections. A try that fails because a dead predecessor's
// processes still hold shared memory, or its process id is not yet free, is made again.
func (s *Server) launch(giveUp <-chan struct{}) (*process, error) {
	for try := 1; ; try++ {
		p, err := s.fork()
		if err != nil {
			return nil, fmt.Errorf("start the database: %w", err)
		}
		err = s.waitReady(p, giveUp)
		if err == nil {
			return p, nil
		}
		s.setProcess(nil)
		words := p.words.String()
		if errors.Is(err, errStopping) || try == launchTries || !heldByPredecessor(words) {
			return nil, withWords(fmt.Errorf("start the database: %w", err), words)
		}
		if err := s.pauseUnlessStopping(giveUp, launchPause); err != nil {
			return nil, err
		}
	}
}

func heldByPredecessor(words string) bool {
	return strings.Contains(words, `lock file "postmaster.pid" already exists`) ||
		strings.Contains(words, "pre-existing shared memory block")
}

func (s *Server) pauseUnlessStopping(giveUp <-chan struct{}, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-s.stopping:
		return errStopping
	case <-giveUp:
		return errStopping
	case <-t.C:
		return nil
	}
}

// fork starts one server process from the calling thread.
func (s *Server) fork() (*process, error) {
	p := &process{exited: make(chan struct{}), words: &tail{}}
	p.cmd = exec.Command(s.bin.path("postgres"), s.arguments()...)
	p.cmd.Dir, p.cmd.Env = s.data, serverEnv()
	out := io.MultiWriter(p.words, s.log)
	p.cmd.Stdout, p.cmd.Stderr = out, out
	p.cmd.SysProcAttr = s.acct.attributes(syscall.SIGINT)
	p.cmd.WaitDelay = cleanupLimit // children of a killed server may hold its output open a moment longer
	if err := p.cmd.Start(); err != nil {
		return nil, err
	}
	s.setProcess(p)
	go func() {
		p.err = p.cmd.Wait()
		if p.err == nil {
			p.err = errors.New("exit status 0")
		}
		close(p.exited)
	}()
	return p, nil
}

// arguments of the server. Settings stand on the command line because that outranks the folder's configuration
// files: what could lose acknowledged orders cannot be switched off there.
func (s *Server) arguments() []string {
	settings := []string{
		"listen_addresses=", "unix_socket_directories=" + s.socket, "unix_socket_permissions=0700", "port=" + port,
		"cluster_name=billwright", "timezone=UTC", "log_timezone=UTC", "logging_collector=off", "log_destination=stderr",
		"log_checkpoints=off",
	}
	if s.opts.Ephemeral {
		settings = append(settings, "fsync=off", "synchronous_commit=off", "full_page_writes=off",
			"wal_level=minimal", "max_wal_senders=0", "max_connections=200")
	} else {
		settings = append(settings, "fsync=on", "synchronous_commit=on", "full_page_writes=on")
	}
	args := []string{"-D", s.data}
	for _, setting := range settings {
		args = append(args, "-c", setting)
	}
	return args
}

// waitReady returns nil once the server says so in its pid file. When told to stop it ends the process first.
func (s *Server) waitReady(p *process, giveUp <-chan struct{}) error {
	began, said := time.Now(), time.Now()
	tick := time.NewTicker(readyPoll)
	defer tick.Stop()
	for {
		select {
		case <-p.exited:
			return p.err
		case <-giveUp:
			return s.abandon(p)
		case <-s.stopping:
			return s.abandon(p)
		case <-tick.C:
		}
		if got, err := readPIDFile(s.data); err == nil && got.pid == p.cmd.Process.Pid && got.status == "ready" {
			return nil
		}
		if time.Since(said) > impatience {
			said = time.Now()
			fmt.Fprintf(s.log, "postgres: not ready after %s: recovering from a crash takes this long\n", said.Sub(began).Round(time.Second))
		}
	}
}

// abandon ends a server that is still starting.
func (s *Server) abandon(p *process) error {
	p.signal(syscall.SIGINT)
	select {
	case <-p.exited:
	case <-time.After(cleanupLimit):
		p.signal(syscall.SIGKILL)
		<-p.exited
	}
	return errStopping
}
