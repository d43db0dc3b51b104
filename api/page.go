package api

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"errors"

	"github.com/google/uuid"
)

// A cursor of a list is the id of the last row shown and an HMAC-SHA256 over it
// under the workshop's page secret, in base64url. The HMAC also covers what the
// list was asked for and by whom, so that a cursor leads on in its own list
// only and cannot be made up.

const cursorBytes = 16 + sha256.Size

// errCursor tells that a text is no cursor of this list.
var errCursor = errors.New("not a cursor of this list")

// listing is what a cursor belongs to: the list's name, the scope it is seen
// in and what it was filtered by, in a fixed order.
type listing []string

// cursor leads to the rows after the one with this id.
func (l listing) cursor(secret [32]byte, after uuid.UUID) string {
	raw := make([]byte, 0, cursorBytes)
	raw = append(raw, after[:]...)
	raw = append(raw, l.sign(secret, after)...)
	return base64.RawURLEncoding.EncodeToString(raw)
}

// after reads a cursor of this list; "" is its beginning, the zero id. Errors:
// errCursor.
func (l listing) after(secret [32]byte, cursor string) (uuid.UUID, error) {
	if cursor == "" {
		return uuid.UUID{}, nil
	}
	if len(cursor) != base64.RawURLEncoding.EncodedLen(cursorBytes) {
		return uuid.UUID{}, errCursor
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(cursor)
	if err != nil {
		return uuid.UUID{}, errCursor
	}
	id := uuid.UUID(raw[:16])
	if !hmac.Equal(raw[16:], l.sign(secret, id)) {
		return uuid.UUID{}, errCursor
	}
	return id, nil
}

func (l listing) sign(secret [32]byte, id uuid.UUID) []byte { return l.signed(secret, id[:]) }

func (l listing) signed(secret [32]byte, place []byte) []byte {
	mac := hmac.New(sha256.New, secret[:])
	mac.Write(place)
	for _, part := range l {
		mac.Write(sized(nil, part))
	}
	return mac.Sum(nil)
}
