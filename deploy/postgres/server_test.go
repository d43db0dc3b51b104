package postgres

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// limit bounds every start, stop and query of these tests.
const limit = 60 * time.Second

// superviseEnv turns the test binary into a supervisor of the folder it names; see supervise.
const superviseEnv = "BILLWRIGHT_TEST_SUPERVISE"

func TestMain(m *testing.M) {
	if dir := os.Getenv(superviseEnv); dir != "" {
		os.Exit(supervise(dir))
	}
	os.Exit(m.Run())
}

// supervise starts a server, prints its process id and address on one line, and stops it when the parent closes
// standard input.
func supervise(dir string) int {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	s, err := Start(ctx, Options{Dir: dir, Log: os.Stderr})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	fmt.Println(s.PID(), s.URL(Superuser, "postgres"))
	go func() {
		time.Sleep(limit)
		os.Exit(3)
	}()
	_, _ = io.Copy(io.Discard, os.Stdin)
	if err := s.Stop(ctx); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 2
	}
	return 0
}

func within(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	t.Cleanup(cancel)
	return ctx
}

// folder is one that the server's account may enter; t.TempDir is closed to it when the tests run as root.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "billwright-server-test-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

type testLog struct{ t *testing.T }

func (l testLog) Write(p []byte) (int, error) {
	l.t.Logf("%s", strings.TrimSpace(string(p)))
	return len(p), nil
}

func start(t *testing.T, dir string) *Server {
	t.Helper()
	began := time.Now()
	s, err := Start(within(t), Options{Dir: dir, Log: testLog{t}})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("started in %s", time.Since(began).Round(time.Millisecond))
	t.Cleanup(func() { finish(t, s) })
	return s
}

// finish stops in the orderly way, because a killed server leaves its shared memory to the next start on its folder,
// and here there will be none.
func finish(t *testing.T, s *Server) {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	if err := s.Stop(ctx); err != nil {
		t.Error(err)
	}
}

func stop(t *testing.T, s *Server) {
	t.Helper()
	if err := s.Stop(within(t)); err != nil {
		t.Fatal(err)
	}
	if s.PID() != 0 || s.Err() != nil {
		t.Errorf("after Stop: pid %d, error %v; want 0 and none", s.PID(), s.Err())
	}
}

func run(t *testing.T, url, sql string, args ...any) {
	t.Helper()
	conn, err := pgx.Connect(within(t), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(within(t), sql, args...); err != nil {
		t.Fatal(err)
	}
}

func ask(t *testing.T, url, sql string, args ...any) (answer string) {
	t.Helper()
	answer, err := tryAsk(within(t), url, sql, args...)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

func tryAsk(ctx context.Context, url, sql string, args ...any) (answer string, err error) {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return "", err
	}
	defer conn.Close(context.Background())
	err = conn.QueryRow(ctx, sql, args...).Scan(&answer)
	return answer, err
}

const makeBars = `create table bars (mark text primary key); insert into bars values ('A1'), ('A2'), ('A3')`

func wantBars(t *testing.T, s *Server, want string) {
	t.Helper()
	if got := ask(t, s.URL(Superuser, "postgres"), `select string_agg(mark, ' ' order by mark) from bars`); got != want {
		t.Errorf("bars after the start: %q, want %q", got, want)
	}
}

func TestStopAndStartAgainKeepsData(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	first := s.socket
	stop(t, s)
	if _, err := os.Stat(first); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the socket folder %s is still there after Stop (%v)", first, err)
	}
	select {
	case <-s.Done():
	default:
		t.Error("Done is still open after Stop")
	}
	s = start(t, dir)
	wantBars(t, s, "A1 A2 A3")
	stop(t, s)
	if err := s.Stop(within(t)); err != nil {
		t.Errorf("a second Stop: %v", err)
	}
}

func TestSettingsThatKeepOrdersSafe(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	admin := s.URL(Superuser, "postgres")
	// What an administrator writes into the folder's files must not outlast a restart.
	for _, name := range []string{"fsync", "full_page_writes", "synchronous_commit"} {
		run(t, admin, "alter system set "+name+" = off")
	}
	run(t, admin, "alter system set listen_addresses = '127.0.0.1'")
	stop(t, s)
	s = start(t, dir)
	for name, want := range map[string]string{
		"fsync": "on", "full_page_writes": "on", "synchronous_commit": "on", "data_checksums": "on",
		"listen_addresses": "", "server_encoding": "UTF8", "lc_collate": "C.UTF-8", "timezone": "UTC",
	} {
		if got := ask(t, s.URL(Superuser, "postgres"), "select current_setting($1)", name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	info, err := os.Stat(s.socket)
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("socket folder: mode %v, %v; want 0700", info.Mode().Perm(), err)
	}
	if os.Geteuid() == 0 {
		if uid := procUID(t, s.PID()); uid == "0" {
			t.Error("the server runs as root")
		}
	}
}

func procUID(t *testing.T, pid int) string {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(status), "Uid:")
	return strings.Fields(rest)[0]
}

func TestEphemeralIsFastAndSaysSo(t *testing.T) {
	s, err := Start(within(t), Options{Dir: folder(t), Ephemeral: true, Log: testLog{t}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { finish(t, s) })
	for _, name := range []string{"fsync", "full_page_writes", "synchronous_commit"} {
		if got := ask(t, s.URL(Superuser, "postgres"), "select current_setting($1)", name); got != "off" {
			t.Errorf("%s is %q, want off", name, got)
		}
	}
}

func TestKilledServerRecoversAtTheNextStart(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	s.Kill()
	if _, err := os.Stat(filepath.Join(dir, "data", "postmaster.pid")); err != nil {
		t.Fatalf("a killed server leaves its pid file behind: %v", err)
	}
	wantBars(t, start(t, dir), "A1 A2 A3")
}

func TestServerKilledFromOutsideComesBackOnTheSameSocket(t *testing.T) {
	s := start(t, folder(t))
	url := s.URL(Superuser, "postgres")
	run(t, url, makeBars)
	for range 3 {
		pid := s.PID()
		if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		ctx := within(t)
		for {
			got, err := tryAsk(ctx, url, `select count(*)::text from bars`)
			if err == nil && s.PID() != pid {
				if got != "3" {
					t.Fatalf("%s bars after the restart, want 3", got)
				}
				break
			}
			if ctx.Err() != nil {
				t.Fatalf("not back within %s: %v", limit, err)
			}
			time.Sleep(10 * time.Millisecond)
		}
	}
	stop(t, s)
}

func TestServerThatCannotComeBackIsGivenUp(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	control := filepath.Join(dir, "data", "global", "pg_control")
	if err := os.Rename(control, control+".away"); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(s.PID(), syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	select {
	case <-s.Done():
	case <-time.After(limit):
		t.Fatal("Done did not close")
	}
	if err := s.Err(); err == nil || !strings.Contains(err.Error(), "pg_control") {
		t.Errorf("Err gives %v; want the server's own words about pg_control", err)
	}
	if err := os.Rename(control+".away", control); err != nil {
		t.Fatal(err)
	}
	stop(t, start(t, dir)) // a supervisor that gave up holds nothing any more
}

// child is a supervisor in a process of its own.
type child struct {
	cmd   *exec.Cmd
	stdin io.Closer
	pid   int // the server's
	url   string
}

func supervisor(t *testing.T, program, dir string, as *syscall.Credential) *child {
	t.Helper()
	cmd := exec.CommandContext(within(t), program)
	cmd.Env = append(os.Environ(), superviseEnv+"="+dir)
	cmd.Stderr = testLog{t}
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: as}
	cmd.Dir = "/"
	stdin, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	stdout, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill() })
	c := &child{cmd: cmd, stdin: stdin}
	line, err := bufio.NewReader(stdout).ReadString('\n')
	if err != nil {
		t.Fatalf("the supervisor printed %q: %v", line, err)
	}
	if _, err := fmt.Sscan(line, &c.pid, &c.url); err != nil {
		t.Fatalf("the supervisor printed %q: %v", line, err)
	}
	return c
}

func self(t *testing.T) string {
	t.Helper()
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

func TestSupervisorKilled(t *testing.T) {
	dir := folder(t)
	c := supervisor(t, self(t), dir, nil)
	run(t, c.url, makeBars)
	left := pgxHost(t, c.url)
	if err := c.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = c.cmd.Wait() // "signal: killed" is what was asked for
	s := start(t, dir)
	wantBars(t, s, "A1 A2 A3")
	if servesFrom(c.pid, dataDir(dir)) {
		t.Errorf("the killed supervisor's server %d still runs", c.pid)
	}
	if _, err := os.Stat(left); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the killed supervisor's socket folder %s is still there (%v)", left, err)
	}
}

// Both at once, as the kernel does when memory runs out.
func TestSupervisorAndServerKilled(t *testing.T) {
	dir := folder(t)
	c := supervisor(t, self(t), dir, nil)
	run(t, c.url, makeBars)
	if err := c.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(c.pid, syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	_ = c.cmd.Wait() // "signal: killed" is what was asked for
	wantBars(t, start(t, dir), "A1 A2 A3")
}

func pgxHost(t *testing.T, url string) string {
	t.Helper()
	c, err := pgx.ParseConfig(url)
	if err != nil {
		t.Fatal(err)
	}
	return c.Host
}

// orphan starts a server on a stopped one's folder that nobody supervises, and waits until it is ready.
func orphan(t *testing.T, s *Server) *exec.Cmd {
	t.Helper()
	cmd := exec.CommandContext(within(t), s.bin.path("postgres"), s.arguments()...)
	if err := os.Mkdir(s.socket, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Chown(s.socket, int(s.acct.uid), int(s.acct.gid)); err != nil {
		t.Fatal(err)
	}
	cmd.Dir, cmd.Env, cmd.SysProcAttr = s.data, serverEnv(), s.acct.attributes(0)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill() })
	for ctx := within(t); ; {
		if p, err := readPIDFile(s.data); err == nil && p.status == "ready" {
			return cmd
		}
		if err := pause(ctx.Done(), readyPoll); err != nil {
			t.Fatal("the orphan is not ready")
		}
	}
}

// The kernel's signal can be missed (a server set-up without it, another kernel): then Start itself ends the orphan.
func TestOrphanIsEnded(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	stop(t, s)
	left := orphan(t, s)
	gone := make(chan error, 1)
	go func() { gone <- left.Wait() }()
	wantBars(t, start(t, dir), "A1 A2 A3")
	if err := <-gone; err != nil {
		t.Errorf("the orphan ended with %v; a fast shutdown ends with status 0", err)
	}
}

// A dead server whose parent never collects it, as under a process 1 that does not.
func TestDeadServerNobodyCollects(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	stop(t, s)
	left := orphan(t, s)
	if err := left.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	s = start(t, dir)
	if !isZombie(left.Process.Pid) {
		t.Error("the dead server was collected; this test shows nothing")
	}
	wantBars(t, s, "A1 A2 A3")
	_ = left.Wait() // "signal: killed" is what was asked for
}

// A pid file may name a process that has nothing to do with the folder. It must be left alone.
func TestStrangerWithThePIDIsLeftAlone(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	s.Kill()
	stranger := exec.CommandContext(within(t), "sleep", "60")
	if err := stranger.Start(); err != nil {
		t.Fatal(err)
	}
	gone := make(chan struct{})
	go func() { stranger.Wait(); close(gone) }()
	t.Cleanup(func() { stranger.Process.Kill(); <-gone })
	file := filepath.Join(dir, "data", "postmaster.pid")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "\n")
	if err := os.WriteFile(file, []byte(strconv.Itoa(stranger.Process.Pid)+"\n"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	// PostgreSQL itself refuses while a process of that id lives and may be signalled by it, which root's may not.
	s, err = Start(within(t), Options{Dir: dir, Log: testLog{t}})
	if err == nil {
		wantBars(t, s, "A1 A2 A3")
		stop(t, s)
	} else if !strings.Contains(err.Error(), "postmaster.pid") {
		t.Errorf("refused with %v; want the server's words about postmaster.pid", err)
	}
	select {
	case <-gone:
		t.Error("the stranger was ended")
	default:
	}
}

func TestSecondCopyIsRefused(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	began := time.Now()
	_, err := Start(within(t), Options{Dir: dir})
	if !errors.Is(err, ErrInUse) {
		t.Fatalf("a second copy got %v, want ErrInUse", err)
	}
	for _, want := range []string{dir, "process " + strconv.Itoa(os.Getpid()), filepath.Base(os.Args[0])} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q does not name %q", err, want)
		}
	}
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("the refusal took %s", took)
	}
	run(t, s.URL(Superuser, "postgres"), makeBars) // the first copy is untouched
	stop(t, s)
	wantBars(t, start(t, dir), "A1 A2 A3") // and the refused one left no lock behind
}

func TestOtherMajorVersionIsRefused(t *testing.T) {
	dir := folder(t)
	data := filepath.Join(dir, "data")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(data, "PG_VERSION"), []byte("9\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Start(within(t), Options{Dir: dir})
	if !errors.Is(err, ErrOtherVersion) {
		t.Fatalf("got %v, want ErrOtherVersion", err)
	}
	if !strings.Contains(err.Error(), "made by PostgreSQL 9") || !strings.Contains(err.Error(), data) {
		t.Errorf("%q names neither the version nor the folder", err)
	}
	left, _ := os.ReadDir(data)
	if len(left) != 1 {
		t.Errorf("the refused folder holds %v, want PG_VERSION alone", left)
	}
}

func TestHalfMadeFilesAreMadeAgain(t *testing.T) {
	dir := folder(t)
	half := filepath.Join(dir, "data.new-1")
	if err := os.MkdirAll(filepath.Join(half, "base"), 0o700); err != nil {
		t.Fatal(err)
	}
	stop(t, start(t, dir))
	if _, err := os.Stat(half); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the half-made files are still there (%v)", err)
	}
}

func TestStartThatIsCutShortLeavesNothing(t *testing.T) {
	dir := folder(t)
	for _, after := range []time.Duration{1, 50 * time.Millisecond, 300 * time.Millisecond} {
		ctx, cancel := context.WithTimeout(within(t), after)
		s, err := Start(ctx, Options{Dir: dir, Log: testLog{t}})
		cancel()
		if err == nil {
			stop(t, s)
			t.Logf("a start of %s was long enough", after)
		} else if !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("cut short after %s: %v, want context.DeadlineExceeded", after, err)
		}
	}
	if entries, _ := filepath.Glob(filepath.Join(dir, "data.new-*")); len(entries) > 0 {
		t.Errorf("left behind: %v", entries)
	}
	stop(t, start(t, dir))
}

func TestStopThatMayNotWait(t *testing.T) {
	dir := folder(t)
	s := start(t, dir)
	run(t, s.URL(Superuser, "postgres"), makeBars)
	over, cancel := context.WithCancel(within(t))
	cancel()
	if err := s.Stop(over); err != nil && !errors.Is(err, context.Canceled) {
		t.Errorf("Stop with a context that is over: %v, want context.Canceled", err)
	}
	wantBars(t, start(t, dir), "A1 A2 A3")
}

func TestOrdinaryUser(t *testing.T) {
	if os.Geteuid() != 0 {
		stop(t, start(t, folder(t)))
		return // every test here runs as an ordinary user already
	}
	nobody, err := serverAccountNamed("nobody")
	if err != nil {
		t.Fatal(err)
	}
	dir := folder(t)
	if err := os.Chown(dir, int(nobody.uid), int(nobody.gid)); err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "supervisor") // the test binary itself stands in a folder closed to others
	text, err := os.ReadFile(self(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(program, text, 0o755); err != nil {
		t.Fatal(err)
	}
	c := supervisor(t, program, dir, &syscall.Credential{Uid: nobody.uid, Gid: nobody.gid})
	run(t, c.url, makeBars)
	if got := procUID(t, c.pid); got != strconv.Itoa(int(nobody.uid)) {
		t.Errorf("the server runs as uid %s, want %d", got, nobody.uid)
	}
	c.stdin.Close()
	if err := c.cmd.Wait(); err != nil {
		t.Fatalf("the supervisor's end: %v", err)
	}
	s := start(t, dir) // root takes over the folder and runs it as its owner
	wantBars(t, s, "A1 A2 A3")
	if got := procUID(t, s.PID()); got != strconv.Itoa(int(nobody.uid)) {
		t.Errorf("root runs the server as uid %s, want the files' owner %d", got, nobody.uid)
	}
}

func TestFolderTheServerMayNotEnter(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root starts the server under another account")
	}
	dir := folder(t)
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	inner := filepath.Join(dir, "database")
	_, err := Start(within(t), Options{Dir: inner})
	if err == nil || !strings.Contains(err.Error(), "may not enter "+dir+":") {
		t.Errorf("got %v; want a message that names %s", err, dir)
	}
}
