# shellcheck shell=sh
# Read by deploy/start and deploy/check: finds what they need and installs what is missing with the machine's own
# package manager. Every command that changes the machine is printed before it runs.

say() { printf '%s\n' "$*" >&2; }

die() {
	say "$*"
	exit 1
}

# show_and_run COMMAND...: as root, through sudo where that is needed and there.
show_and_run() {
	if [ "$(id -u)" -ne 0 ]; then
		command -v sudo >/dev/null 2>&1 || die "This needs root, and there is no sudo. As root run: $*"
		set -- sudo "$@"
	fi
	say "+ $*"
	"$@"
}

# has_postgres: the places that deploy/postgres looks into, in its order.
has_postgres() {
	if [ -n "${PG_BIN:-}" ]; then
		holds_server "$PG_BIN"
		return
	fi
	old_ifs=$IFS
	IFS=:
	for dir in $PATH; do
		IFS=$old_ifs
		if holds_server "$dir"; then return 0; fi
	done
	IFS=$old_ifs
	for dir in /usr/lib/postgresql/*/bin /usr/lib/postgresql[0-9]*/bin /usr/pgsql-*/bin /usr/libexec/postgresql*; do
		if holds_server "$dir"; then return 0; fi
	done
	return 1
}

holds_server() { [ -x "$1/initdb" ] && [ -x "$1/postgres" ]; }

package_manager() {
	for name in apt-get dnf apk pacman zypper; do
		if command -v "$name" >/dev/null 2>&1; then
			echo "$name"
			return
		fi
	done
	echo none
}

# install_packages NAME...
install_packages() {
	case $(package_manager) in
	apt-get) show_and_run env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "$@" ;;
	dnf) show_and_run dnf install -y "$@" ;;
	apk) show_and_run apk add "$@" ;;
	pacman) show_and_run pacman -S --needed --noconfirm "$@" ;;
	zypper) show_and_run zypper --non-interactive install "$@" ;;
	*) die "No known package manager (apt-get, dnf, apk, pacman, zypper): install $* by hand." ;;
	esac
}

refresh_package_lists() {
	if [ "$(package_manager)" = apt-get ]; then show_and_run apt-get update; fi
}

# need_postgres: server programs only. No service is set up or started.
need_postgres() {
	if has_postgres; then return 0; fi
	[ -z "${PG_BIN:-}" ] || die "PG_BIN is $PG_BIN, but initdb and postgres are not both in it."
	say "No PostgreSQL server is installed. Installing the distribution's; to use a running one instead, set DATABASE_URL."
	refresh_package_lists
	case $(package_manager) in
	apt-get) install_debian_postgres ;;
	dnf | zypper) install_packages postgresql-server ;;
	*) install_packages postgresql ;;
	esac
	has_postgres || die "PostgreSQL was installed, but initdb and postgres are not where they are looked for: set PG_BIN to their folder."
}

# Debian's postgresql package makes a cluster named main and starts it. Billwright runs a private server of its own,
# so that is switched off first, in the setting Debian has for it (pg_createcluster(1), create_main_cluster).
install_debian_postgres() {
	install_packages postgresql-common
	say "Debian would now make and start a database cluster of its own; create_main_cluster = false prevents that."
	show_and_run sed -i "s/^#*[[:space:]]*create_main_cluster[[:space:]]*=.*/create_main_cluster = false/" /etc/postgresql-common/createcluster.conf
	install_packages postgresql
}

# need_go: the version that go.mod asks for; a newer one serves as well.
need_go() {
	wanted=$(sed -n 's/^go //p' go.mod)
	command -v go >/dev/null 2>&1 || die "Go is not installed. Install Go $wanted or newer (go.dev/doc/install) and put its bin folder on PATH."
}

# need_c_compiler: the race detector is linked with it.
need_c_compiler() {
	if command -v gcc >/dev/null 2>&1 || command -v clang >/dev/null 2>&1; then return 0; fi
	say "No C compiler is installed; go test -race needs one."
	refresh_package_lists
	case $(package_manager) in
	apt-get) install_packages gcc libc6-dev ;;
	apk) install_packages gcc musl-dev ;;
	*) install_packages gcc ;;
	esac
}

# need_chromium: the desk's pages are tested in a real browser. BROWSER names another.
need_chromium() {
	if [ -n "${BROWSER:-}" ]; then
		[ -x "$BROWSER" ] || die "BROWSER is $BROWSER, which is no program."
		return 0
	fi
	for name in chromium chromium-browser google-chrome; do
		if command -v "$name" >/dev/null 2>&1; then return 0; fi
	done
	say "No browser is installed; the pages are tested in one."
	refresh_package_lists
	install_packages chromium
}

# need_poppler: the papers' files are read and drawn by a program that is not ours.
need_poppler() {
	if command -v pdftotext >/dev/null 2>&1 && command -v pdftoppm >/dev/null 2>&1; then return 0; fi
	say "No poppler tools are installed; the papers are tested with them."
	refresh_package_lists
	case $(package_manager) in
	pacman) install_packages poppler ;;
	zypper) install_packages poppler-tools ;;
	*) install_packages poppler-utils ;;
	esac
}
