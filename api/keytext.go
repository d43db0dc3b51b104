package api

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base32"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"strings"

	"github.com/google/uuid"
)

// A key's text is "bw1_" and, in lower-case base32 (RFC 4648) without padding,
// the workshop's id (16 bytes), the key's id (16), the secret (20) and the
// CRC-32 (IEEE) of those, by which a slip of the hand is told from a false key
// without asking the database.
const (
	keyPrefix   = "bw1_"
	secretBytes = 20
	keyBytes    = 16 + 16 + secretBytes + 4
)

var keyAlphabet = base32.NewEncoding("abcdefghijklmnopqrstuvwxyz234567").WithPadding(base32.NoPadding)

var keyTextSize = len(keyPrefix) + keyAlphabet.EncodedLen(keyBytes)

// errKeyText tells that a text is no key at all.
var errKeyText = errors.New("not a key: a sign was left out or mistaken")

// keyText is what a key's text says.
type keyText struct {
	workshop, key uuid.UUID
	secret        [secretBytes]byte
}

// newKeyText draws a secret for a key.
func newKeyText(workshop, key uuid.UUID) (keyText, error) {
	k := keyText{workshop: workshop, key: key}
	_, err := rand.Read(k.secret[:])
	return k, err
}

// parseKey reads a key's text in its one spelling. Errors: errKeyText.
func parseKey(text string) (keyText, error) {
	if len(text) != keyTextSize || !strings.HasPrefix(text, keyPrefix) {
		return keyText{}, errKeyText
	}
	var raw [keyBytes]byte
	if _, err := keyAlphabet.Decode(raw[:], []byte(text[len(keyPrefix):])); err != nil {
		return keyText{}, errKeyText
	}
	k := keyText{workshop: uuid.UUID(raw[:16]), key: uuid.UUID(raw[16:32]), secret: [secretBytes]byte(raw[32:52])}
	// Comparing the spelled text covers the check sum and the two bits of the
	// last sign that no byte needs.
	if k.String() != text {
		return keyText{}, errKeyText
	}
	return k, nil
}

// String spells the key. Whoever calls it must not log it.
func (k keyText) String() string {
	raw := make([]byte, 0, keyBytes)
	raw = append(raw, k.workshop[:]...)
	raw = append(raw, k.key[:]...)
	raw = append(raw, k.secret[:]...)
	raw = binary.BigEndian.AppendUint32(raw, crc32.ChecksumIEEE(raw))
	return keyPrefix + keyAlphabet.EncodeToString(raw)
}

func (k keyText) hash() [sha256.Size]byte { return sha256.Sum256(k.secret[:]) }
