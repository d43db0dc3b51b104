package api

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// The second option that RFC 9106 section 4 recommends: 3 passes over 64 MiB in
// 4 lanes, a salt of 128 bits and a tag of 256.
const (
	argonPasses = 3
	argonMemory = 64 << 10 // KiB
	argonLanes  = 4
	argonSalt   = 16
	argonTag    = 32
)

// Bounds of a password, in characters. The least is that of NIST SP 800-63B,
// section 5.1.1.2, for passwords that people choose; the text is from memory.
const (
	MinPassword = 8
	MaxPassword = 200
)

// hashing bounds how many passwords are hashed at once, for each takes 64 MiB.
var hashing = make(chan struct{}, 2)

func argon(ctx context.Context, password string, salt []byte, passes, memory uint32, lanes uint8) ([]byte, error) {
	select {
	case hashing <- struct{}{}:
		defer func() { <-hashing }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return argon2.IDKey([]byte(password), salt, passes, memory, lanes, argonTag), nil
}

// hashPassword gives a password's hash with its parameters, in the form that the
// reference program of Argon2 writes.
func hashPassword(ctx context.Context, password string) (string, error) {
	salt := make([]byte, argonSalt)
	if _, err := rand.Read(salt); err != nil {
		return "", err
	}
	tag, err := argon(ctx, password, salt, argonPasses, argonMemory, argonLanes)
	if err != nil {
		return "", err
	}
	code := base64.RawStdEncoding.EncodeToString
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, argonMemory, argonPasses, argonLanes, code(salt), code(tag)), nil
}

// errPasswordForm tells that what is stored is no hash of this form.
var errPasswordForm = errors.New("api: a stored password has another form")

// samePassword tells whether a password is the one whose hash is stored.
func samePassword(ctx context.Context, stored, password string) (bool, error) {
	parts := strings.Split(stored, "$")
	var version int
	var memory, passes uint32
	var lanes uint8
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false, errPasswordForm
	}
	if _, err := fmt.Sscanf(parts[2]+" "+parts[3], "v=%d m=%d,t=%d,p=%d", &version, &memory, &passes, &lanes); err != nil || version != argon2.Version {
		return false, errPasswordForm
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return false, errPasswordForm
	}
	want, err := base64.RawStdEncoding.DecodeString(parts[5])
	if err != nil || len(want) != argonTag || memory > 1<<20 || passes > 100 || passes < 1 || lanes < 1 {
		return false, errPasswordForm
	}
	tag, err := argon(ctx, password, salt, passes, memory, lanes)
	if err != nil {
		return false, err
	}
	return subtle.ConstantTimeCompare(tag, want) == 1, nil
}

// checkPassword gives what is wrong with a password that somebody chose, or "".
func checkPassword(password string) string {
	switch n := utf8.RuneCountInString(password); {
	case n < MinPassword:
		return fmt.Sprintf("The password has %d characters: take at least %d. Several words do well.", n, MinPassword)
	case n > MaxPassword:
		return fmt.Sprintf("The password has %d characters; at most %d are taken.", n, MaxPassword)
	}
	return ""
}
