package testdb

import (
	"fmt"
	"io"
	"os/exec"
	"syscall"
	"time"
)

// watcher is a small shell process that removes a folder once this process is gone, however it went: a panicking
// test, a test time-out and kill -9 run no deferred function. It notices by its standard input, which ends when the
// last holder of the other end, this process, does. The server in the folder ends by itself (package postgres); its
// socket folder is noted in the lock file.
type watcher struct {
	cmd   *exec.Cmd
	stdin io.Closer
}

// watchScript waits for the end of input, then up to 10 s for the server's pid file to go, then removes. Removing
// is tried again because a server that is just ending may still write.
const watchScript = `
cat >/dev/null
socket=$(sed -n 's|^socket \(/tmp/billwright-[0-9][0-9]*\)$|\1|p' "$1/database/lock" 2>/dev/null)
for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
	[ -e "$1/database/data/postmaster.pid" ] || break
	sleep 0.5
done
for i in 1 2 3; do
	rm -rf -- "$1" && break
	sleep 1
done
[ -z "$socket" ] || rm -rf -- "$socket"
`

// watch starts the watcher in a process group of its own, out of the reach of a Ctrl-C at the terminal. Its output
// goes nowhere: holding on to go test's would make go test wait for it.
func watch(dir string) (*watcher, error) {
	cmd := exec.Command("/bin/sh", "-c", watchScript, "testdb-watcher", dir)
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	stdin, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("testdb: start the watcher: %w", err)
	}
	return &watcher{cmd: cmd, stdin: stdin}, nil
}

// dismiss ends the watcher by its own way: end of input. The folder is gone by then, so it has nothing to wait for.
func (w *watcher) dismiss() error {
	if err := w.stdin.Close(); err != nil {
		return err
	}
	late := time.AfterFunc(limit, func() { w.cmd.Process.Kill() })
	defer late.Stop()
	return w.cmd.Wait()
}
