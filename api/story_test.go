package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"billwright/catalog/source"
)

// A story is the paper of a shop, step by step: who asks for what, and which
// figures must come back. Its form is told in testdata/stories/README.md.
type story struct {
	catalog string
	clock   time.Time
	steps   []step
}

type step struct {
	name string
	// request are the lines before "---", expect those behind it; a # begins what
	// people read.
	request, expect []string
}

var heading = regexp.MustCompile(`^-- (.+) --$`)

// readStory reads a story's file.
func readStory(text string) (story, error) {
	var s story
	var at *step
	behind := false
	for i, line := range strings.Split(text, "\n") {
		plain := strings.TrimSpace(line)
		if name := heading.FindStringSubmatch(plain); name != nil {
			s.steps = append(s.steps, step{name: name[1]})
			at, behind = &s.steps[len(s.steps)-1], false
			continue
		}
		switch key, value, found := strings.Cut(plain, ":"); {
		case plain == "" || strings.HasPrefix(plain, "#"):
		case at == nil && found && key == "catalog":
			s.catalog = strings.TrimSpace(value)
		case at == nil && found && key == "clock":
			clock, err := time.Parse(time.RFC3339, strings.TrimSpace(value))
			if err != nil {
				return s, err
			}
			s.clock = clock
		case at == nil:
			return s, fmt.Errorf("line %d: before the first step stand catalog: and clock:, not %q", i+1, plain)
		case plain == "---":
			behind = true
		case behind:
			at.expect = append(at.expect, plain)
		default:
			at.request = append(at.request, plain)
		}
	}
	if s.catalog == "" || s.clock.IsZero() || len(s.steps) == 0 {
		return s, errors.New("a story has a catalog, a clock and at least one step")
	}
	return s, nil
}

// telling is a story being told to a service.
type telling struct {
	*shop
	files []source.File
	keys  map[string]string
	saved map[string]string
	// pulls are the weeks and kinds pulled so far.
	pulls [][2]string
}

func TestStories(t *testing.T) {
	const folder = "../testdata/stories"
	papers, err := filepath.Glob(folder + "/*.txt")
	if err != nil || len(papers) == 0 {
		t.Fatalf("no stories: %v", err)
	}
	for _, paper := range papers {
		t.Run(strings.TrimSuffix(filepath.Base(paper), ".txt"), func(t *testing.T) {
			text, err := os.ReadFile(paper)
			if err != nil {
				t.Fatal(err)
			}
			s, err := readStory(string(text))
			if err != nil {
				t.Fatalf("%s: %v", paper, err)
			}
			files, faults := source.ReadDir(os.DirFS(filepath.Join(folder, s.catalog)))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			shop := openShop(t, shopSettings{trialAt: s.clock, files: func([]source.File) []source.File { return files }})
			told := &telling{shop: shop, files: files, keys: map[string]string{}, saved: map[string]string{}}
			for i := range s.steps {
				told.step(&s.steps[i])
			}
			told.readds()
			told.everyVersionAudited()
			told.booksReadd(told.as("buyer"))
		})
	}
}

// as gives the key of a role, such as "rep" or "dealer studio-tamsel".
func (s *telling) as(who string) string {
	if s.keys[who] == "" {
		s.keys[who] = s.key(who)
	}
	return s.keys[who]
}

var savedName = regexp.MustCompile(`\$[a-z][a-z0-9]*`)

// filled puts what was saved into a text.
func (s *telling) filled(text string) string {
	return savedName.ReplaceAllStringFunc(text, func(name string) string {
		value, found := s.saved[name[1:]]
		if !found {
			s.t.Fatalf("nothing was saved as %s", name)
		}
		return value
	})
}

var asking = regexp.MustCompile(`^([a-z]+(?: [a-z0-9-]+)?): (GET|POST|PUT|DELETE) (\S+)(?: at (\d+))?$`)

func (s *telling) step(st *step) {
	s.t.Helper()
	if len(st.request) == 0 {
		s.t.Fatalf("%s: nothing is asked", st.name)
	}
	first := st.request[0]
	if moment, found := strings.CutPrefix(first, "clock: "); found {
		s.ask(s.as("owner"), "PUT", "/v1/clock", fmt.Sprintf(`{"now":%q}`, moment)).want(s.t, 200)
		return
	}
	var r reply
	if first == "catalog:" {
		r = s.revise(st)
	} else {
		parts := asking.FindStringSubmatch(first)
		if parts == nil {
			s.t.Fatalf("%s: %q is no request; write WHO: METHOD PATH, and at VERSION behind it", st.name, first)
		}
		path, body := s.filled(parts[3]), s.filled(strings.Join(st.request[1:], "\n"))
		if body == "" && parts[2] != "GET" {
			body = "{}"
		}
		var headers []string
		if parts[2] == "POST" {
			headers = append(headers, "Idempotency-Key: "+strings.ReplaceAll(st.name, " ", "-"))
		}
		if parts[4] != "" {
			headers = append(headers, fmt.Sprintf(`If-Match: "%s"`, parts[4]))
		}
		r = s.ask(s.as(parts[1]), parts[2], path, body, headers...)
		if path == "/v1/pulls" && r.status == 201 {
			s.nothingLeft(st.name, r)
		}
	}
	s.check(st, r)
}

// revise stores another revision of the catalog: each line is FILE: old => new.
func (s *telling) revise(st *step) reply {
	s.t.Helper()
	type file struct {
		Path string `json:"path"`
		Text string `json:"text"`
	}
	s.files = slices.Clone(s.files)
	for _, line := range st.request[1:] {
		name, change, found := strings.Cut(line, ": ")
		old, is, both := strings.Cut(change, " => ")
		i := slices.IndexFunc(s.files, func(f source.File) bool { return f.Path == name })
		if !found || !both || i < 0 || strings.Count(string(s.files[i].Bytes), old) != 1 {
			s.t.Fatalf("%s: %q changes nothing, or more than one place", st.name, line)
		}
		s.files[i] = source.File{Path: name, Bytes: []byte(strings.Replace(string(s.files[i].Bytes), old, is, 1))}
	}
	body := struct {
		Files  []file `json:"files"`
		Accept bool   `json:"accept_changes"`
	}{Accept: true}
	for _, f := range s.files {
		body.Files = append(body.Files, file{f.Path, string(f.Bytes)})
	}
	text, err := json.Marshal(body)
	if err != nil {
		s.t.Fatal(err)
	}
	return s.ask(s.as("engineer"), "POST", "/v1/catalog/revisions", string(text), "Idempotency-Key: "+strings.ReplaceAll(st.name, " ", "-"))
}

// check holds a reply against what the step expects of it.
func (s *telling) check(st *step, r reply) {
	s.t.Helper()
	wanted := 200
	var body any
	d := json.NewDecoder(strings.NewReader(string(r.body)))
	d.UseNumber()
	if err := d.Decode(&body); err != nil {
		s.t.Fatalf("%s: %v: %s", st.name, err, r.body)
	}
	failed := false
	for _, line := range st.expect {
		if text, found := strings.CutPrefix(line, "status "); found {
			wanted, _ = strconv.Atoi(text)
			continue
		}
		left, right, found := strings.Cut(line, " = ")
		if nothing, empty := strings.CutSuffix(line, " ="); empty {
			left, right, found = nothing, "", true
		}
		if !found {
			s.t.Fatalf("%s: %q expects nothing; write FIELD = VALUE, save NAME = FIELD or status N", st.name, line)
		}
		if name, saves := strings.CutPrefix(left, "save "); saves {
			s.saved[name] = figureOf(body, right)
			continue
		}
		got := ""
		if name, ofHeader := strings.CutPrefix(left, "header "); ofHeader {
			got = r.header.Get(name)
		} else {
			got = figureOf(body, s.filled(left))
		}
		if want := s.filled(right); got != want {
			s.t.Errorf("%s: %s is %q, want %q", st.name, left, got, want)
			failed = true
		}
	}
	if r.status != wanted || failed {
		s.t.Fatalf("%s: status %d, want %d: %s", st.name, r.status, wanted, r.body)
	}
}

// figureOf reads a figure of a reply: a path such as rows[path=base/leg].pieces,
// several joined by a comma, or count(path) or sum(path) of them.
func figureOf(body any, text string) string {
	what, path := "", text
	for _, f := range []string{"count", "sum"} {
		if inner, found := strings.CutPrefix(text, f+"("); found {
			what, path = f, strings.TrimSuffix(inner, ")")
		}
	}
	found := []any{body}
	for rest := path; rest != ""; {
		var name, where string
		end := strings.IndexAny(rest, ".[")
		switch {
		case end < 0:
			name, rest = rest, ""
		case rest[end] == '.':
			name, rest = rest[:end], rest[end+1:]
		default:
			closed := strings.Index(rest, "]")
			if closed < 0 {
				return "an open bracket"
			}
			name, where, rest = rest[:end], rest[end+1:closed], strings.TrimPrefix(rest[closed+1:], ".")
		}
		found = below(found, name, where)
	}
	switch what {
	case "count":
		return strconv.Itoa(len(found))
	case "sum":
		return sumOf(found)
	}
	texts := make([]string, len(found))
	for i, v := range found {
		texts[i] = textOf(v)
	}
	return strings.Join(texts, ", ")
}

// below gives what stands under a name, lists by their members, of which only
// those are taken that meet every condition NAME=VALUE.
func below(values []any, name, where string) (found []any) {
	for _, v := range values {
		fields, isObject := v.(map[string]any)
		one, known := fields[name]
		if !isObject || !known {
			continue
		}
		list, isList := one.([]any)
		if !isList {
			list = []any{one}
		}
		for _, member := range list {
			meets := true
			for _, condition := range strings.FieldsFunc(where, func(c rune) bool { return c == ',' }) {
				field, value, _ := strings.Cut(condition, "=")
				fields, _ := member.(map[string]any)
				meets = meets && textOf(fields[field]) == value
			}
			if meets {
				found = append(found, member)
			}
		}
	}
	return found
}

func textOf(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case json.Number:
		return v.String()
	}
	text, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// sumOf adds up the numbers that texts begin with.
func sumOf(values []any) string {
	sum := new(big.Rat)
	for _, v := range values {
		text, _, _ := strings.Cut(textOf(v), " ")
		n, ok := new(big.Rat).SetString(text)
		if !ok {
			return "no number: " + text
		}
		sum.Add(sum, n)
	}
	if sum.IsInt() {
		return sum.Num().String()
	}
	return strings.TrimRight(sum.FloatString(6), "0")
}

// nothingLeft holds of any pull: after it nothing that is firm is left to pull of
// its week and kind, and its items are its rows added up.
func (s *telling) nothingLeft(name string, r reply) {
	s.t.Helper()
	var p pullReply
	r.read(s.t, &p)
	for _, item := range p.Items {
		var pieces int64
		for _, row := range p.Rows {
			if row.Item == item.Item {
				pieces += row.Pieces
			}
		}
		if pieces != item.Pieces {
			s.t.Errorf("%s: the rows of %s add up to %d pieces and not %d", name, item.Item, pieces, item.Pieces)
		}
	}
	var w weekReply
	s.ask(s.as("buyer"), "GET", "/v1/requirements/"+p.Week+"?kind="+p.Kind, "").want(s.t, 200).read(s.t, &w)
	for _, need := range w.Requirements {
		if strings.HasPrefix(need.NotFirm.Text, "0") && need.Pulled != need.Amount {
			s.t.Errorf("%s: after pull %d %s of %s is pulled and %s needed", name, p.Pull, need.Pulled.Text, need.Item, need.Amount.Text)
		}
	}
	s.pulls = append(s.pulls, [2]string{p.Week, p.Kind})
}

// readds holds of any story's end: each order costs what its lines and charges
// come to, every version of it still comes back, and nothing was ever taken back
// that had not been pulled.
func (s *telling) readds() {
	s.t.Helper()
	var page orderPage
	s.ask(s.as("rep"), "GET", "/v1/orders?limit=100", "").want(s.t, 200).read(s.t, &page)
	for _, o := range page.Orders {
		var whole any
		r := s.ask(s.as("rep"), "GET", "/v1/orders/"+o.Number, "").want(s.t, 200)
		d := json.NewDecoder(strings.NewReader(string(r.body)))
		d.UseNumber()
		if err := d.Decode(&whole); err != nil {
			s.t.Fatal(err)
		}
		net, lines, charges := figureOf(whole, "net"), figureOf(whole, "sum(lines.price.net)"), figureOf(whole, "sum(charges.amount)")
		if net != "" && sumOf([]any{net}) != sumOf([]any{lines, charges}) {
			s.t.Errorf("order %s costs %s, and its lines %s and charges %s", o.Number, net, lines, charges)
		}
		last, _ := strconv.Atoi(figureOf(whole, "version"))
		for version := 1; version <= last; version++ {
			s.ask(s.as("rep"), "GET", fmt.Sprintf("/v1/orders/%s?version=%d", o.Number, version), "").want(s.t, 200)
		}
	}
	sums := map[string]int64{}
	var pulls pullList
	s.ask(s.as("buyer"), "GET", "/v1/pulls?limit=100", "").want(s.t, 200).read(s.t, &pulls)
	slices.Reverse(pulls.Pulls)
	for _, p := range pulls.Pulls {
		var one pullReply
		s.ask(s.as("buyer"), "GET", fmt.Sprintf("/v1/pulls/%d", p.Pull), "").want(s.t, 200).read(s.t, &one)
		for _, r := range one.Rows {
			at := fmt.Sprint(one.Week, one.Kind, r.Order, r.Line, r.Unit, r.Path, r.Item, r.Length)
			if sums[at] += r.Pieces; sums[at] < 0 {
				s.t.Errorf("pull %d takes back more of %s than was pulled", p.Pull, at)
			}
		}
	}
}
