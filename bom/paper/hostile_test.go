package paper

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"unicode"
)

// hostile are 200 texts and more that people could write as a sidemark: markup,
// other scripts, directions, signs of every plane.
func hostile() []string {
	texts := []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `{{.Head}}`, `{{template "who"}}`, `</style><b>x`, `&lt;b&gt;`, `&amp;amp;`, `]]>`, `<!--`, `-->`, `%PDF-1.3`, `) Tj ET`,
		`(unbalanced`, `unbalanced)`, `\`, `\\n`, `\u0041`, `'; drop table x; --`, `=1+1`, `@sum(a1)`, `..\..\x`, `../../x`, `%s%d%n`, `${x}`, "`x`", `$(x)`, `null`, `undefined`, `NaN`, `0`, `-0`,
		`שלום`, `שלום / DINING`, `مرحبا`, `مرحبا 42`, "left \u202eright\u202c", "\u2066iso\u2069", "\u200fmark", "a\u0301e\u0308", "Ångström", "naïve café", "Ωμέγα", "Здравствуйте", "日本語の注文", "한국어", "ไทย", "हिन्दी",
		"emoji 🪑🔥", "👩‍🔧", "𝕄ath", "𠜎", "ﬁ ligature", "½ in", "84″ × 36½″", "5′ 6″", "10 µm", "45°", "£ € ¥ ¢", "№ 7", "§ 3", "† ‡", "“quoted”", "‘single’", "– — ―", "… ⋯", "• ‣", "\u00a0no break", "thin\u2009space", "zero\u200bwidth",
		"soft\u00adhyphen", "O0 l1 I|", strings.Repeat("W", 60), strings.Repeat("il", 30), strings.Repeat("a b ", 15), " leading", "trailing ", "two  spaces",
	}
	for n := 0; len(texts) < 220; n++ {
		low, high := rune(0x21+n*97%0x2fff), rune(0x1f300+n*13%0x300)
		if !unicode.IsPrint(low) {
			low = 'x'
		}
		texts = append(texts, fmt.Sprintf("n%d %c<%c>&%c", n, low, low, high))
	}
	return texts
}

var tags = regexp.MustCompile(`<[^>]*>`)

// unmarked is what a browser shows of a page, without its style.
func unmarked(page string) string {
	_, body, _ := strings.Cut(page, "</style>")
	return html.UnescapeString(tags.ReplaceAllString(body, ""))
}

// isLeftToRight tells that a reader of the PDF gives the letters back in the
// order in which they were written.
func isLeftToRight(text string) bool {
	for _, r := range text {
		if unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Mn, unicode.Cf) || r == '\u00ad' {
			return false
		}
	}
	return true
}
