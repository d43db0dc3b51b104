package main

import (
	"context"
	"os"
)

// workplace makes a folder for a measurement and builds the program in it; the
// caller calls clear when it is through.
func workplace(ctx context.Context) (dir, binary string, clear func(), err error) {
	dir, err = os.MkdirTemp("", "billwright-measure-")
	if err != nil {
		return "", "", nil, err
	}
	clear = func() { _ = os.RemoveAll(dir) }
	// The database server runs as another user when we are root.
	if err = os.Chmod(dir, 0o755); err == nil {
		binary, err = buildService(ctx, dir)
	}
	if err != nil {
		clear()
		return "", "", nil, err
	}
	return dir, binary, clear, nil
}
