package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// processorTime is what a process has used so far, user and system, from
// /proc/PID/stat; with children, that of its living children is added.
func processorTime(pid int, children bool) (time.Duration, error) {
	used, _, err := readStat(pid)
	if err != nil || !children {
		return used, err
	}
	paths, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil {
		return 0, err
	}
	for _, path := range paths {
		child, err := strconv.Atoi(filepath.Base(filepath.Dir(path)))
		if err != nil {
			continue
		}
		// A process may end while the list is walked.
		if more, parent, err := readStat(child); err == nil && parent == pid {
			used += more
		}
	}
	return used, nil
}

// ticks is the kernel's unit of processor time, 100 a second on every Linux.
const ticks = 100

func readStat(pid int) (used time.Duration, parent int, err error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0, 0, err
	}
	// The name in brackets may hold spaces; the fields after it do not.
	_, rest, _ := strings.Cut(string(text), ") ")
	fields := strings.Fields(rest)
	if len(fields) < 13 {
		return 0, 0, fmt.Errorf("process %d has %d fields of status", pid, len(fields))
	}
	parent, err = strconv.Atoi(fields[1])
	if err != nil {
		return 0, 0, err
	}
	var sum int
	for _, field := range fields[11:13] {
		n, err := strconv.Atoi(field)
		if err != nil {
			return 0, 0, err
		}
		sum += n
	}
	return time.Duration(sum) * time.Second / ticks, parent, nil
}
