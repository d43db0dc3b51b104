package difference

// HasNoun tells whether a top-level key has a noun of its own.
func HasNoun(key string) bool {
	_, found := nouns[key]
	return found
}
