package testdb

import (
	"os"
	"path/filepath"
	"syscall"
	"time"
)

const (
	folderPrefix = "billwright-testdb-"
	memoryFolder = "/dev/shm"
	memoryNeeded = 4 << 30       // bytes free, so that a test with some million rows fits
	abandoned    = 1 * time.Hour // no test process starts its server this long after making the folder
)

// parentFolder prefers memory: making a database there took 13 ms, and 30 to 300 ms on a disk that others write to
// (2 cores, PostgreSQL 15). TMPDIR overrides; a small memory folder, as containers have, is left alone.
func parentFolder() string {
	var fs syscall.Statfs_t
	if os.Getenv("TMPDIR") == "" && syscall.Statfs(memoryFolder, &fs) == nil && fs.Bavail*uint64(fs.Bsize) >= memoryNeeded {
		return memoryFolder
	}
	return os.TempDir()
}

// sweep removes what earlier test processes left when they were killed together with their watcher: old folders
// whose server is held by no supervisor. What it may not remove stays.
func sweep(parent string) {
	dirs, _ := filepath.Glob(filepath.Join(parent, folderPrefix+"*")) // fails on a bad pattern only
	for _, dir := range dirs {
		info, err := os.Lstat(dir)
		if err == nil && info.IsDir() && time.Since(info.ModTime()) > abandoned && !held(dir) {
			_ = os.RemoveAll(dir)
		}
	}
}

func held(dir string) bool {
	f, err := os.Open(filepath.Join(dir, "database", "lock"))
	if err != nil {
		return !os.IsNotExist(err)
	}
	defer f.Close()
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) != nil
}
