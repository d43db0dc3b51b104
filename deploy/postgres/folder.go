package postgres

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// ErrInUse: another supervisor holds the folder.
var ErrInUse = errors.New("the database folder is in use")

// DefaultDir is where database files go unless told otherwise: /var/lib/billwright for root; else
// $XDG_STATE_HOME/billwright, or ~/.local/state/billwright when that is not set to an absolute path.
func DefaultDir() (string, error) {
	if os.Geteuid() == 0 {
		return "/var/lib/billwright", nil
	}
	if state := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(state) {
		return filepath.Join(state, "billwright"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("no folder for the database: %w; set XDG_STATE_HOME or HOME", err)
	}
	return filepath.Join(home, ".local", "state", "billwright"), nil
}

func absoluteDir(dir string) (string, error) {
	if dir == "" {
		return DefaultDir()
	}
	return filepath.Abs(dir)
}

// Exists tells whether a folder, which empty stands for DefaultDir(), has database files.
func Exists(dir string) bool {
	dir, err := absoluteDir(dir)
	if err != nil {
		return false
	}
	_, err = os.Stat(filepath.Join(dataDir(dir), "PG_VERSION"))
	return err == nil
}

func dataDir(dir string) string { return filepath.Join(dir, "data") }

// account is whom the server runs as.
type account struct {
	name     string
	uid, gid uint32
	drop     bool // this process is root and must change to the account
}

// serverAccount: PostgreSQL refuses to run as root, so root uses the owner of existing files, else the user postgres,
// else nobody. Anyone else runs it as himself.
func serverAccount(data string) (account, error) {
	info, err := os.Stat(data)
	exists := err == nil
	if os.Geteuid() != 0 {
		self := account{name: "uid " + strconv.Itoa(os.Geteuid()), uid: ownUID(), gid: uint32(os.Getegid())}
		if exists && info.Sys().(*syscall.Stat_t).Uid != self.uid {
			return account{}, fmt.Errorf("the database files in %s belong to uid %d, and this is uid %d: run as their owner or choose another folder",
				data, info.Sys().(*syscall.Stat_t).Uid, self.uid)
		}
		return self, nil
	}
	if exists {
		if st := info.Sys().(*syscall.Stat_t); st.Uid != 0 {
			return account{name: "uid " + strconv.Itoa(int(st.Uid)), uid: st.Uid, gid: st.Gid, drop: true}, nil
		}
	}
	for _, name := range []string{"postgres", "nobody"} {
		a, err := serverAccountNamed(name)
		if errors.As(err, new(user.UnknownUserError)) {
			continue
		}
		return a, err
	}
	return account{}, errors.New("PostgreSQL refuses to run as root, and there is no user postgres or nobody to run it as: make one")
}

func serverAccountNamed(name string) (account, error) {
	u, err := user.Lookup(name)
	if err != nil {
		return account{}, err
	}
	uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
	gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
	return account{name: "user " + name, uid: uint32(uid), gid: uint32(gid), drop: true}, errors.Join(err1, err2)
}

// mayEnter checks every folder down to dir, so that the message can name the one that bars the way.
func (a account) mayEnter(dir string) error {
	if !a.drop {
		return nil
	}
	for at := dir; ; at = filepath.Dir(at) {
		info, err := os.Stat(at)
		if err != nil {
			return err
		}
		st := info.Sys().(*syscall.Stat_t)
		bit := os.FileMode(0o001)
		if st.Uid == a.uid {
			bit = 0o100
		} else if st.Gid == a.gid {
			bit = 0o010
		}
		if info.Mode()&bit == 0 {
			return fmt.Errorf("the database server runs as %s (PostgreSQL refuses root), which may not enter %s: choose a folder outside it", a.name, at)
		}
		if at == filepath.Dir(at) {
			return nil
		}
	}
}

// lockFile is a supervisor's hold on a folder. The kernel drops it with the process, so none is ever stale.
type lockFile struct{ f *os.File }

// lockDir makes the folder if need be and takes hold of it.
func lockDir(dir string) (*lockFile, error) {
	if err := makeDir(dir); err != nil {
		return nil, fmt.Errorf("make the database folder: %w", err)
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, fmt.Errorf("lock the database folder: %w", err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		defer f.Close()
		return nil, fmt.Errorf("%w: %s is held by %s: stop that first, or give this one another folder", ErrInUse, dir, holder(f))
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock the database folder %s: %w", dir, err), f.Close())
	}
	return &lockFile{f}, nil
}

// makeDir leaves an existing folder alone. A new one of root's must let the server's account through; the files
// themselves stand in a 0700 folder below.
func makeDir(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		return nil
	}
	if os.Geteuid() != 0 {
		return os.MkdirAll(dir, 0o700)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	return os.Chmod(dir, 0o755)
}

// describe writes who holds the folder, for the message of ErrInUse and for the next start's clearing up. Arguments
// are left out: they may hold secrets.
func (l *lockFile) describe(socket string) error {
	text := fmt.Sprintf("pid %d\nprogram %s\nsince %s\nsocket %s\n",
		os.Getpid(), filepath.Base(os.Args[0]), time.Now().UTC().Format(time.RFC3339), socket)
	if err := l.f.Truncate(0); err != nil {
		return err
	}
	_, err := l.f.WriteAt([]byte(text), 0)
	return err
}

// readLock gives the fields of the latest describe.
func readLock(f *os.File) map[string]string {
	buf := make([]byte, 4096)
	n, _ := f.ReadAt(buf, 0) // a short file ends in io.EOF
	fields := map[string]string{}
	for line := range strings.Lines(string(buf[:n])) {
		if key, value, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
			fields[key] = value
		}
	}
	return fields
}

func holder(f *os.File) string {
	got := readLock(f)
	if got["pid"] == "" {
		return "another process that is just starting"
	}
	return fmt.Sprintf("process %s (%s) since %s", got["pid"], got["program"], got["since"])
}

func (l *lockFile) unlock() {
	_ = syscall.Flock(int(l.f.Fd()), syscall.LOCK_UN)
	_ = l.f.Close()
}

// makeSocketDir: a socket's whole path may have some 100 bytes at most, which rules out $TMPDIR and the data folder.
func makeSocketDir(a account) (string, error) {
	dir, err := os.MkdirTemp("/tmp", "billwright-") // mode 0700
	if err != nil {
		return "", fmt.Errorf("make a folder for the socket: %w", err)
	}
	if a.drop {
		err = os.Chown(dir, int(a.uid), int(a.gid))
	}
	return dir, err
}

var socketName = regexp.MustCompile(`^/tmp/billwright-[0-9]+$`)

// removeSocketDir takes away a socket folder and nothing else, even if the note of its name was tampered with.
func removeSocketDir(dir string, a account) {
	info, err := os.Lstat(dir)
	if err != nil || !info.IsDir() || !socketName.MatchString(dir) {
		return
	}
	if uid := info.Sys().(*syscall.Stat_t).Uid; uid != a.uid && uid != ownUID() {
		return
	}
	for _, name := range []string{".s.PGSQL." + port, ".s.PGSQL." + port + ".lock"} {
		_ = os.Remove(filepath.Join(dir, name))
	}
	_ = os.Remove(dir)
}

// initialise makes the database files unless they are there. They are made under another name and moved into place
// when complete, so a start that was cut short leaves nothing half-made.
func (s *Server) initialise(ctx context.Context) error {
	if _, err := os.Stat(s.data); err == nil {
		return nil
	}
	halfMade, _ := filepath.Glob(s.data + ".new-*") // fails on a bad pattern only
	for _, dir := range halfMade {
		if err := os.RemoveAll(dir); err != nil {
			return err
		}
	}
	fresh, err := os.MkdirTemp(s.opts.Dir, "data.new-") // mode 0700
	if err != nil {
		return err
	}
	if s.acct.drop {
		if err := os.Chown(fresh, int(s.acct.uid), int(s.acct.gid)); err != nil {
			return err
		}
	}
	if err := s.initdb(ctx, fresh); err != nil {
		return errors.Join(err, os.RemoveAll(fresh))
	}
	if err := os.Rename(fresh, s.data); err != nil || s.opts.Ephemeral {
		return err
	}
	return syncDir(s.opts.Dir)
}

// initdb's locale gives one sort order on every machine, by code point.
func (s *Server) initdb(ctx context.Context, dir string) error {
	args := []string{"-D", dir, "-U", Superuser, "--auth-local=trust", "--auth-host=reject",
		"--encoding=UTF8", "--locale=C.UTF-8", "--data-checksums"}
	if s.opts.Ephemeral {
		args = append(args, "--no-sync")
	}
	var words tail
	cmd := exec.CommandContext(ctx, s.bin.path("initdb"), args...)
	cmd.Dir, cmd.Env, cmd.Stdout, cmd.Stderr = "/", serverEnv(), &words, &words
	cmd.SysProcAttr = s.acct.attributes(syscall.SIGKILL)
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = cleanupLimit
	runtime.LockOSThread() // the signal comes when this thread ends, so it must not end early
	defer runtime.UnlockOSThread()
	if err := cmd.Run(); err != nil {
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return withWords(fmt.Errorf("make the database files in %s: %w", dir, err), words.String())
	}
	return nil
}

func syncDir(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
