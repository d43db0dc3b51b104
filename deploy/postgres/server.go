// Package postgres runs a private PostgreSQL server for a program that was given no database address.
//
// The server uses the binaries installed on the machine, listens on a unix socket only (never TCP) and ends with the
// program that started it. The socket stands in a folder of mode 0700 under /tmp, and inside that folder every role
// is trusted: whoever may enter the folder (the account the server runs as, and root) is the administrator.
//
// A data folder belongs to one supervisor at a time and to one major version of PostgreSQL for life.
package postgres

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"sync"
	"syscall"
	"time"
)

// Superuser is the administrator role of a private server.
const Superuser = "postgres"

// port only names the socket file; nothing listens on TCP.
const port = "5432"

// Options says where and how a private server runs.
type Options struct {
	// Dir is the folder that holds the database files. Empty means DefaultDir().
	Dir string
	// Ephemeral trades durability for speed: a crash may lose or damage everything. For tests only.
	Ephemeral bool
	// Log receives what the server and the supervisor print. Nil drops it.
	Log io.Writer
}

// Server is a running private server and its supervisor. Its methods may be called from several goroutines.
type Server struct {
	opts   Options
	bin    binaries
	acct   account
	lock   *lockFile
	data   string // folder with PG_VERSION in it
	socket string // folder with the socket in it
	log    io.Writer

	stopping chan struct{} // closed once by Stop or Kill
	done     chan struct{} // closed when no server runs any more and none will be started

	mu   sync.Mutex // guards the fields below
	proc *process   // nil while none runs
	err  error      // why the supervisor gave up
	once sync.Once
}

// Start brings up a private server and returns when it takes connections. On a new folder it first makes the
// database files (about a second); on a used one it takes about 0.1 s, longer when a crash must be recovered from.
// The context bounds the start only: the server then lives until Stop, Kill or the end of this process.
//
// A server that dies by itself (killed, out of memory) is started again on the same socket, so that connection pools
// find it by themselves; Done tells when the supervisor has given up on that.
//
// Errors: ErrNoBinaries, ErrInUse, ErrOtherVersion (see errors.Is); else what stood in the way, with the
// server's own last words.
func Start(ctx context.Context, opts Options) (*Server, error) {
	s, err := prepare(ctx, opts)
	if err != nil {
		return nil, err
	}
	ready := make(chan error, 1)
	go s.keep(ctx, ready)
	if err := <-ready; err != nil {
		<-s.done
		return nil, err
	}
	return s, nil
}

// prepare does everything short of launching: binaries, folder, lock, database files, leftovers, socket folder.
func prepare(ctx context.Context, opts Options) (_ *Server, err error) {
	dir, err := absoluteDir(opts.Dir)
	if err != nil {
		return nil, err
	}
	found, err := installed(ctx)
	if err != nil {
		return nil, err
	}
	opts.Dir = dir
	s := &Server{opts: opts, data: dataDir(dir), stopping: make(chan struct{}), done: make(chan struct{})}
	s.log = &serialWriter{w: cmp.Or[io.Writer](opts.Log, io.Discard)}
	if s.bin, err = choose(found, s.data); err != nil {
		return nil, err
	}
	if s.acct, err = serverAccount(s.data); err != nil {
		return nil, err
	}
	if s.lock, err = lockDir(dir); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			s.release()
		}
	}()
	if err := s.acct.mayEnter(dir); err != nil {
		return nil, err
	}
	if err := s.clearLeftovers(ctx); err != nil {
		return nil, err
	}
	if err := s.initialise(ctx); err != nil {
		return nil, err
	}
	if s.socket, err = makeSocketDir(s.acct); err != nil {
		return nil, err
	}
	return s, s.lock.describe(s.socket)
}

// URL gives the address of one database for one role, in the form pgx, psql and goose read:
// postgres://user@/database?host=/tmp/...
func (s *Server) URL(user, database string) string {
	q := url.Values{"host": {s.socket}, "port": {port}, "sslmode": {"disable"}}
	u := url.URL{Scheme: "postgres", User: url.User(user), Path: "/" + database, RawQuery: q.Encode()}
	return u.String()
}

// PID is the process id of the server's first process, 0 while none runs. It changes when the server is restarted.
func (s *Server) PID() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.proc == nil {
		return 0
	}
	return s.proc.cmd.Process.Pid
}

// Done is closed when the server has ended for good: after Stop or Kill, or when it died again and again.
func (s *Server) Done() <-chan struct{} { return s.done }

// Err says why the supervisor gave up. It is nil before Done is closed, and after Stop or Kill.
func (s *Server) Err() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.err
}

// Stop ends the server in PostgreSQL's "fast" way: open transactions are rolled back, everything committed is
// written out. When ctx ends first, the server is ended at once instead: nothing committed is lost, the next start
// recovers it from the log, and Stop returns an error that says so. Stopping twice is harmless.
func (s *Server) Stop(ctx context.Context) error {
	s.end(syscall.SIGINT)
	select {
	case <-s.done:
		return nil
	case <-ctx.Done():
	}
	s.signal(syscall.SIGQUIT)
	select {
	case <-s.done:
	case <-time.After(5 * time.Second):
		s.signal(syscall.SIGKILL)
		<-s.done
	}
	return fmt.Errorf("the database did not stop in time and was ended at once; its next start recovers: %w", ctx.Err())
}

// Kill ends the server with SIGKILL, as a power cut would, and does not start it again. For tests.
func (s *Server) Kill() {
	s.end(syscall.SIGKILL)
	<-s.done
}

// end tells the supervisor that no restart is wanted, then signals the running server.
func (s *Server) end(sig syscall.Signal) {
	s.once.Do(func() { close(s.stopping) })
	s.signal(sig)
}

// signal reaches the first process; SIGKILL goes to its whole process group.
func (s *Server) signal(sig syscall.Signal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.proc != nil {
		s.proc.signal(sig)
	}
}

// release gives back what prepare took. Errors are of no use to anyone by then: the next start clears leftovers.
func (s *Server) release() {
	if s.socket != "" {
		removeSocketDir(s.socket, s.acct)
	}
	s.lock.unlock()
}

// serialWriter lets the server's output and the supervisor's own lines share one writer.
type serialWriter struct {
	mu sync.Mutex
	w  io.Writer
}

func (w *serialWriter) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.w.Write(p)
}

// tail keeps the last words of a process for error messages.
type tail struct {
	mu  sync.Mutex
	buf []byte
}

const tailBytes = 2048

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.buf = append(t.buf, p...)
	if over := len(t.buf) - tailBytes; over > 0 {
		t.buf = append(t.buf[:0], t.buf[over:]...)
	}
	return len(p), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return string(bytes.TrimSpace(t.buf))
}

// withWords adds a process's last words to an error.
func withWords(err error, words string) error {
	if words == "" {
		return err
	}
	return fmt.Errorf("%w; it said:\n%s", err, words)
}

var errStopping = errors.New("the database is being stopped")

// ownUID is this process's user id.
func ownUID() uint32 { return uint32(os.Geteuid()) }
