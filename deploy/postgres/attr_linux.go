package postgres

import "syscall"

// attributes: a process group of its own, so that a Ctrl-C at the terminal does not reach the server before its
// clients; and the signal the kernel sends when the thread that forked it ends (0: none).
func (a account) attributes(onParentDeath syscall.Signal) *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true, Pdeathsig: onParentDeath}
	if a.drop {
		attr.Credential = &syscall.Credential{Uid: a.uid, Gid: a.gid}
	}
	return attr
}
