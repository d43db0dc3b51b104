package desk

import (
	"slices"
	"strings"

	"billwright/api"
	"billwright/catalog"
)

// nameAllowed writes what would do in a finding by the names that people read,
// and leaves it out where the sentence names all of it already.
func nameAllowed(f *api.Finding, choices []offeredWord) {
	named := make([]string, len(f.Allowed))
	told := true
	for i, code := range f.Allowed {
		named[i] = nameOf(code, choices)
		told = told && strings.Contains(f.Message, named[i])
	}
	if f.Allowed = named; told {
		f.Allowed = nil
	}
}

// nameOf is a choice by its name with its code, or the code of what is none.
func nameOf(code string, choices []offeredWord) string {
	if at := slices.IndexFunc(choices, func(c offeredWord) bool { return c.Choice == code }); at >= 0 {
		return catalog.WithCode(choices[at].Name, code)
	}
	return code
}

// choicesOf are those of an attribute's row; none for what does not choose.
func (o *lineOffer) choicesOf(row string) []offeredWord {
	if o == nil {
		return nil
	}
	for i := range o.Attributes {
		if attribute+o.Attributes[i].Attribute == row {
			return o.Attributes[i].Choices
		}
	}
	return nil
}
