package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// hostile are texts that a page must show as they are: markup, scripts, what
// templates and shells would read, writing from right to left, marks that pile
// up, and long words.
func hostile() (all []string) {
	parts := []string{`<script>hacked=1</script>`, `"><img src=x onerror=hacked=1>`, `'-hacked=1-'`, `</td></tr>`, `{{.}}`, `{{template "main"}}`, "${hacked=1}", "`hacked`", `javascript:hacked=1`,
		`&lt;b&gt;`, `&amp;amp;`, `<!--`, `]]>`, `<svg/onload=hacked=1>`, `\u003cb`, `%3Cb%3E`, `' or '1'='1`, `%_%`, "שלום עולם", "مرحبا", "\u202eabc\u202c", "\u2066x\u2069", "e\u0301\u0301\u0301", "👩🏽‍🏭", "ﷺ",
		"=1+1", "@SUM(A1)", "-1", "a\u00a0b", "\u200b", "Ω≈ç√", "日本語", strings.Repeat("W", 30), "../../etc", "C:\\x", "a\tb"[0:1] + "b", "#f-dealer", "?text=x", "null", "undefined", "[object]", "0", "00", "1e9", "NaN", "true"}
	for i, one := range parts {
		for j := 0; len(all) < 200 && j < 5; j++ {
			text := one
			if other := parts[(i*7+j*11)%len(parts)]; j > 0 && len([]rune(one+" "+other)) <= 40 {
				text = one + " " + other
			} else if j > 0 {
				text = fmt.Sprint(one[:0], j, " ", other)
			}
			all = append(all, text)
		}
	}
	return all
}

// Two hundred hostile texts as PO, sidemark and note stand on the pages as they
// were typed, and none of them is ever run.
func TestHostileTextsAreShownAsTheyAre(t *testing.T) {
	s := openShop(t)
	rep := s.person("Set-up", "rep")
	texts := hostile()
	if len(texts) != 200 {
		t.Fatalf("%d texts", len(texts))
	}
	type shown struct{ Number, PO, Sidemark, Note string }
	var want []shown
	for i, text := range texts {
		one := shown{PO: text, Sidemark: text, Note: text + " <b>" + text}
		if len([]rune(text)) > 40 {
			one.PO = string([]rune(text)[:40])
		}
		body, err := json.Marshal(map[string]any{"dealer": "studio-tamsel", "po": one.PO, "sidemark": one.Sidemark, "ship_to": text, "po_override_reason": "a test of texts",
			"lines": []any{map[string]any{"product": "sallow-bench", "quantity": 1}}})
		if err != nil {
			t.Fatal(err)
		}
		w := s.ask(rep, http.MethodPost, "/v1/orders", string(body), "Idempotency-Key", fmt.Sprint("order-", i))
		if w.Code != http.StatusCreated {
			t.Fatalf("%q: %d %s", text, w.Code, w.Body)
		}
		_, one.Number, _ = strings.Cut(w.Header().Get("Location"), "/v1/orders/")
		note, err := json.Marshal(map[string]any{"audience": "internal", "text": one.Note})
		if err != nil {
			t.Fatal(err)
		}
		if w := s.ask(rep, http.MethodPost, "/v1/orders/"+one.Number+"/notes", string(note), "Idempotency-Key", fmt.Sprint("note-", i)); w.Code != http.StatusCreated {
			t.Fatalf("%q: %d %s", text, w.Code, w.Body)
		}
		want = append(want, one)
	}
	b := s.signedIn("Bo Linde", "rep")
	numbers := make([]string, len(want))
	for i := range want {
		numbers[i] = want[i].Number
	}
	list, err := json.Marshal(numbers)
	if err != nil {
		t.Fatal(err)
	}
	// Read by the browser's own parser, five pages at a time; a few are opened too.
	text := eval[string](b, `(async () => {
		const one = async number => {
			const page = new DOMParser().parseFromString(await (await fetch("/orders/" + number)).text(), "text/html");
			const told = [...page.querySelectorAll(".three > div:last-child bdi")].map(e => e.textContent);
			return { Number: number, PO: told[0], Sidemark: told[1], Note: (page.querySelector("bdi.note") || {}).textContent };
		};
		const all = `+string(list)+`, out = [];
		while (all.length) out.push(...await Promise.all(all.splice(0, 5).map(one)));
		return JSON.stringify(out);
	})()`)
	var got []shown
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatal(err)
	}
	for i := range want {
		want[i].Note = strings.TrimSpace(want[i].Note)
		if got[i] != want[i] {
			t.Errorf("shown %+q\nwant %+q", got[i], want[i])
		}
	}
	for i := 0; i < len(want); i += 40 {
		b.open("/orders/" + want[i].Number)
		if eval[bool](b, `typeof hacked !== "undefined"`) {
			t.Errorf("%q was run", texts[i])
		}
	}
	b.open("/orders")
	if eval[bool](b, `typeof hacked !== "undefined"`) {
		t.Error("a text was run on the list")
	}
	b.sound()
}
