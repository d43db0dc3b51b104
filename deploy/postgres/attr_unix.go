//go:build unix && !linux

package postgres

import "syscall"

// attributes: see attr_linux.go. Other kernels have no signal on the parent's death, so there a killed supervisor
// leaves its server running.
func (a account) attributes(syscall.Signal) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true}
	if a.drop {
		attr.Credential = &syscall.Credential{Uid: a.uid, Gid: a.gid}
	}
	return attr
}
