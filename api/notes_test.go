package api

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
)

// told writes a note, or what else is posted beside an order.
func (s *shop) beside(key, number, what, once, body string, headers ...string) reply {
	s.t.Helper()
	return s.ask(key, "POST", "/v1/orders/"+number+"/"+what, body, append(headers, "Idempotency-Key: "+once)...)
}

// What the workshop says to itself or to the shop reaches the dealer by no route:
// neither its words nor the name of a file, nor that there is such a thing.
func TestAnInternalNoteNeverReachesTheDealer(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 1"))
	const secret, said = "qv-secret-4711", "qv-said-0815"
	for i, audience := range []string{"internal", "shop", "dealer"} {
		text := secret
		if audience == "dealer" {
			text = said
		}
		s.beside(rep, number, "notes", fmt.Sprint("n", i), fmt.Sprintf(`{"audience":%q,"text":"pays late, %s"}`, audience, text)).want(t, 201)
		s.beside(rep, number, "attachments?audience="+audience+"&name="+text+".txt", fmt.Sprint("a", i), text).want(t, 201)
	}
	s.beside(rep, number, "notes", "changes", `{"audience":"internal","text":"`+secret+`: an inch lower","changes_build":true}`, `If-Match: "1"`).want(t, 201)
	seen := 0
	for _, path := range []string{"", "/notes", "/notes?audience=internal", "/attachments", "/attachments?audience=shop", "/attachments/internal/1", "/attachments/shop/1",
		"/attachments/dealer/1", "/versions", "/acknowledgment", "/acknowledgment?version=1", "?version=1", "/bill", "/changes/1", "/audit", "/locks", "LIST", "LIST?text=" + secret, "NEWS"} {
		at := strings.Replace(strings.Replace("/v1/orders/"+number+path, "/v1/orders/"+number+"LIST", "/v1/orders", 1), "/v1/orders/"+number+"NEWS", "/v1/changes", 1)
		got := s.ask(dealer, "GET", at, "")
		if strings.Contains(string(got.body), secret) || strings.Contains(fmt.Sprint(got.header), secret) || strings.Contains(string(got.body), "pays late, qv-secret") {
			t.Errorf("%s shows the dealer what is not for him: %s", at, got.body)
		}
		seen += strings.Count(string(got.body), said)
		if got := s.ask(other, "GET", at, ""); strings.Contains(string(got.body), said) || strings.Contains(string(got.body), number) && got.status == 200 {
			t.Errorf("%s shows another dealer: %s", at, got.body)
		}
	}
	if seen < 3 {
		t.Errorf("what is for the dealer is seen %d times only", seen)
	}
	for audience, want := range map[string]int{"": 4, "internal": 2, "shop": 1, "dealer": 1} {
		var list noteList
		s.ask(rep, "GET", "/v1/orders/"+number+"/notes?audience="+audience, "").want(t, 200).read(t, &list)
		if len(list.Notes) != want {
			t.Errorf("the rep reads %d notes for %q", len(list.Notes), audience)
		}
	}
	s.ask(rep, "GET", "/v1/orders/"+number+"/notes?audience=press", "").problem(t, 400)
	s.beside(dealer, number, "notes", "d1", `{"audience":"internal","text":"x"}`).problem(t, 403)
	s.beside(dealer, number, "notes", "d2", `{"text":"When?"}`).want(t, 201)
	for body, want := range map[string]string{
		`{"audience":"all","text":"x"}`:             "/audience audience.unknown",
		`{"audience":"shop","text":"  "}`:           "/text missing",
		`{"audience":"shop","text":"x","line":7}`:   "/line line.unknown",
		`{"audience":"shop","text":"a\u0007b"}`:     "/text text.control-characters",
		`{"audience":"press","text":" ","line":70}`: "/audience audience.unknown, /line line.unknown, /text missing",
	} {
		if got := strings.Join(s.beside(rep, number, "notes", "bad"+body[:20], body).faults(t, 422), ", "); got != want {
			t.Errorf("%s: %s", body, got)
		}
	}
}

// A note is no specification: one that would change the build holds the order.
func TestANoteThatChangesTheBuildHolds(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 1"))
	const body = `{"text":"Please make the seat an inch lower.","line":1,"changes_build":true}`
	s.beside(dealer, number, "notes", "a", body).problem(t, 428)
	first := s.beside(dealer, number, "notes", "b", body, `If-Match: "1"`).want(t, 201)
	again := s.beside(dealer, number, "notes", "b", body, `If-Match: "1"`).want(t, 201)
	if string(again.body) != string(first.body) || first.header.Get("ETag") != `"2"` {
		t.Errorf("%s\n%s %s", first.body, again.body, first.header.Get("ETag"))
	}
	d := s.got(dealer, number)
	if d.Version != 2 || len(d.Holds) != 1 || d.Holds[0].Kind != "engineering" || d.Holds[0].Line != 1 || !strings.Contains(d.Holds[0].Reason, "Note 1") {
		t.Errorf("%d %+v", d.Version, d.Holds)
	}
	s.done(rep, number, "accept", 2, `{}`).problem(t, 409)
	s.done(s.key("engineer"), number, "holds/1/lift", 2, `{"reason":"By a change order."}`).want(t, 200)
	s.done(rep, number, "accept", 3, `{}`).want(t, 200)
	// A note alone is written on whatever version stands, or on the one it names.
	s.beside(rep, number, "notes", "c", `{"audience":"dealer","text":"Settled."}`).want(t, 201)
	s.beside(rep, number, "notes", "d", `{"audience":"dealer","text":"Settled."}`, `If-Match: "1"`).problem(t, 412)
	if d := s.got(dealer, number); d.Version != 4 {
		t.Errorf("a note made version %d", d.Version)
	}
	draft := s.place(dealer, "draft", `{"intent":"draft","lines":[]}`).want(t, 201)
	var made order.DraftDocument
	draft.read(t, &made)
	s.beside(dealer, made.Number, "notes", "e", body, `If-Match: "1"`).problem(t, 422) // it has no line yet
	s.beside(dealer, made.Number, "notes", "f", `{"text":"lower","changes_build":true}`, `If-Match: "1"`).problem(t, 409)
}

func TestAttachments(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 1"))
	const pdf = "%PDF-1.7\n1 0 obj\n<<>>\nendobj\n"
	made := s.beside(dealer, number, "attachments?name=Skizze%20%C3%9C%22.pdf&line=1", "a", pdf).want(t, 201)
	var reply attachmentReply
	made.read(t, &reply)
	hash := sha256.Sum256([]byte(pdf))
	want := attachmentShown{Attachment: 1, Audience: "dealer", Line: 1, Name: `Skizze Ü".pdf`, MediaType: "application/pdf", Size: len(pdf), SHA256: hex.EncodeToString(hash[:]),
		At: noon, From: "dealer", Path: "/v1/orders/" + number + "/attachments/dealer/1"}
	if reply.Attachment != want || made.header.Get("Location") != want.Path {
		t.Errorf("%+v, want %+v", reply.Attachment, want)
	}
	if again := s.beside(dealer, number, "attachments?name=Skizze%20%C3%9C%22.pdf&line=1", "a", pdf).want(t, 201); string(again.body) != string(made.body) {
		t.Errorf("again: %s", again.body)
	}
	s.beside(dealer, number, "attachments?name=Skizze%20%C3%9C%22.pdf&line=1", "a", pdf+" ").problem(t, 422)
	s.beside(dealer, number, "attachments?name=other.pdf", "b", pdf).problem(t, 409) // the same file
	got := s.ask(dealer, "GET", want.Path, "").want(t, 200)
	for header, value := range map[string]string{"Content-Type": "application/pdf", "X-Content-Type-Options": "nosniff", "Content-Security-Policy": "default-src 'none'; sandbox",
		"Content-Disposition": `attachment; filename="Skizze____.pdf"; filename*=UTF-8''Skizze%20%C3%9C%22.pdf`, "Cache-Control": "private, no-cache", "ETag": `"` + want.SHA256 + `"`} {
		if got.header.Get(header) != value {
			t.Errorf("%s: %s", header, got.header.Get(header))
		}
	}
	if string(got.body) != pdf {
		t.Errorf("%q came back", got.body)
	}
	s.ask(dealer, "GET", want.Path, "", "If-None-Match: "+got.header.Get("ETag")).want(t, 304)
	s.ask(other, "GET", want.Path, "").problem(t, 404)
	s.ask(rep, "GET", "/v1/orders/"+number+"/attachments/press/1", "").problem(t, 404)
	for i, test := range []struct{ name, content, want string }{
		{"page.txt", "<html><script>alert(1)</script>", "file.kind"},
		{"page.txt", "\ufeff  <svg onload=alert(1)>", "file.kind"},
		{"run.exe", "MZ\x90\x00", "file.kind"},
		{"archive.pdf", "PK\x03\x04", "file.kind"},
		{"sketch.png", pdf, "file.name"},
		{"sketch.pdf.exe", pdf, "file.name"},
		{"..%2Fsketch.pdf", pdf, "name.form"},
		{"a%0Db.pdf", pdf, "text.control-characters"},
		{"latin.txt", "Gr\xfc\xdfe", "file.kind"},
		{"paper.ps.txt", "%!PS-Adobe", "file.kind"},
	} {
		if got := s.beside(dealer, number, "attachments?name="+test.name, fmt.Sprint("bad", i), test.content).faults(t, 422); !slices.Equal(got, []string{"query.name " + test.want}) {
			t.Errorf("%s: %v", test.name, got)
		}
	}
	s.beside(dealer, number, "attachments?name=x.txt", "empty", "").problem(t, 400)
	s.beside(dealer, number, "attachments?name=x.txt", "large", strings.Repeat("x", order.MaxAttachment+1)).problem(t, 413)
	for i, content := range []string{"\x89PNG\r\n\x1a\nrest", "\xff\xd8\xff\xe0rest", "RIFF\x00\x00\x00\x00WEBPrest", "II*\x00rest", "0\nSECTION\n2\nHEADER\n", "a;b\n1;2\n", "just text"} {
		name := []string{"a.png", "a.JPEG", "a.webp", "a.tif", "a.dxf", "a.csv", "a.txt"}[i]
		s.beside(rep, number, "attachments?audience=shop&name="+name, "good"+name, content).want(t, 201)
	}
	for i := 2; i <= order.MaxAttachments+1; i++ {
		got := s.beside(dealer, number, "attachments?name=x.txt", fmt.Sprint("many", i), fmt.Sprint("file ", i))
		if want := map[bool]int{true: 201, false: 409}[i <= order.MaxAttachments]; got.status != want {
			t.Errorf("attachment %d: %d %s", i, got.status, got.body)
		}
	}
}

// The changes since a cursor, as a dealer's own system follows them.
func TestChangesSinceACursor(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 1"))
	s.placed(other, "1", bench("theirs"))
	follow := func(key, after string, limit int) (told []string, next string, more bool) {
		t.Helper()
		var r newsReply
		s.ask(key, "GET", fmt.Sprintf("/v1/changes?after=%s&limit=%d", after, limit), "").want(t, 200).read(t, &r)
		for _, c := range r.Changes {
			if c.Order != number && key == dealer {
				t.Errorf("told of %s", c.Order)
			}
			told = append(told, fmt.Sprintf("%s v%d %s %s %v", c.Act, c.Version, c.State, strings.Join(c.What, "+"), c.Holds))
		}
		return told, r.Next, r.More
	}
	told, next, more := follow(dealer, "", 100)
	if want := []string{"order received v1 received version+state+promise []"}; !slices.Equal(told, want) || more {
		t.Errorf("%q", told)
	}
	s.done(rep, number, "holds", 1, `{"kind":"deposit"}`).want(t, 200)
	s.done(rep, number, "accept", 2, `{}`).want(t, 200)
	s.beside(rep, number, "notes", "n", `{"audience":"dealer","text":"Thank you."}`).want(t, 201)
	s.beside(rep, number, "notes", "i", `{"audience":"internal","text":"Pays late."}`).want(t, 201)
	s.beside(rep, number, "attachments?audience=dealer&name=a.txt", "f", "x").want(t, 201)
	want := []string{"place hold v2 received version+hold [deposit]", "accept v3 accepted version+state [deposit]",
		"add note v3 accepted note [deposit]", "attach file v3 accepted attachment [deposit]"}
	var all []string
	for at, more := next, true; more; {
		told, at, more = follow(dealer, at, 1)
		all = append(all, told...)
	}
	if !slices.Equal(all, want) {
		t.Errorf("%q\nwant %q", all, want)
	}
	if _, again, _ := follow(dealer, next, 4); again == next {
		t.Error("the cursor does not move")
	} else if told, still, _ := follow(dealer, again, 4); len(told) != 0 || still != again {
		t.Errorf("nothing happened, and %q is told", told)
	}
	if told, _, _ := follow(rep, "", 100); len(told) != 6 {
		t.Errorf("the rep is told of %q", told)
	}
	for _, cursor := range []string{"x", "AAAA", next[:len(next)-2] + "AA", strings.Repeat("A", len(next))} {
		if got := s.ask(dealer, "GET", "/v1/changes?after="+cursor, "").faults(t, 400); !slices.Equal(got, []string{"query.after cursor"}) {
			t.Errorf("%s: %v", cursor, got)
		}
	}
	for _, key := range []string{other, rep} { // it is another's
		s.ask(key, "GET", "/v1/changes?after="+next, "").problem(t, 400)
	}
	s.ask(dealer, "GET", "/v1/changes?limit=501", "").problem(t, 422)
}

func TestTheTrailOfAnOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 1"))
	s.done(rep, number, "holds", 1, `{"kind":"deposit","reason":"First order."}`).want(t, 200)
	s.done(rep, number, "accept", 2, `{"reason":"By telephone."}`).want(t, 200)
	s.beside(rep, number, "notes", "n", `{"audience":"internal","text":"Pays late."}`).want(t, 201)
	s.done(rep, number, "accept", 3, `{}`).problem(t, 409) // what is refused is no act
	var trail trailReply
	s.ask(s.key("owner"), "GET", "/v1/orders/"+number+"/audit", "").want(t, 200).read(t, &trail)
	var got []string
	for _, e := range trail.Entries {
		got = append(got, fmt.Sprintf("%s by %s (%s): %s", e.Act, e.Name, e.Role, e.Reason))
		if !e.At.Equal(noon) || (e.Before == nil) != (e.Act == "order received") || e.After == nil || !strings.HasPrefix(e.By, "key ") {
			t.Errorf("%+v", e)
		}
	}
	want := []string{"order received by dealer studio-tamsel (dealer): ", "order: place hold by rep (rep): First order.", "order: accept by rep (rep): By telephone.", "order: add note by rep (rep): internal note: Pays late."}
	if !slices.Equal(got, want) || trail.Version != 3 {
		t.Errorf("%q", got)
	}
	if before, after := string(trail.Entries[2].Before), string(trail.Entries[2].After); !strings.Contains(before, `"received"`) || !strings.Contains(after, `"accepted"`) || !strings.Contains(after, `"promise"`) {
		t.Errorf("from %s to %s", before, after)
	}
	for _, who := range []string{dealer, s.key("shop"), s.key("buyer")} {
		s.ask(who, "GET", "/v1/orders/"+number+"/audit", "").problem(t, 403)
	}
}
