package api

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/xuri/excelize/v2"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
)

// rowsMapping is of a file as a German spreadsheet writes it.
const rowsMapping = `
file: csv
encoding: windows-1252
delimiter: ";"
decimal: ","
unit: {column: Einheit, values: {Zoll: in, mm: mm}}
dates: day.month.year
ignore: [Bemerkung]
order:
  dealer: {column: Händler, values: {Tamsel: studio-tamsel, Hobb: hobb-and-farrow}}
  po: Bestellung
  ordered: Datum
  sidemark: Kommission
line:
  product: {column: Artikel, values: {Bank: sallow-bench}}
  quantity: Menge
configuration:
  length: Länge
  height: {column: Höhe, unit: in}
  cloth: {column: Stoff, values: {Streifen: sedge-stripe, Hafer: oat-weave}}
`

const rowsHead = "Händler;Bestellung;Datum;Kommission;Artikel;Menge;Länge;Einheit;Höhe;Stoff;Bemerkung\r\n"

const rowsGood = rowsHead +
	"Tamsel;A 1;24.11.2026;Müller;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" +
	"Tamsel;A 2;;;Bank;2;1219,0;mm;18,5;Hafer;eilig\r\n" +
	"Hobb;A 1;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" +
	"Tamsel;a1;24.11.2026;;Bank;3;60;Zoll;18 1/2;Hafer;second line of A 1\r\n"

// latin writes a text as windows-1252 does, as far as the tests need it.
func latin(text string) []byte {
	var out []byte
	for _, c := range text {
		out = append(out, byte(c))
	}
	return out
}

func (s *shop) importing(key, once, query, mapping string, file []byte) reply {
	s.t.Helper()
	body, err := json.Marshal(map[string]string{"name": "orders.csv", "mapping": mapping, "file": base64.StdEncoding.EncodeToString(file)})
	if err != nil {
		s.t.Fatal(err)
	}
	return s.ask(key, "POST", "/v1/imports"+query, string(body), "Idempotency-Key: "+once)
}

// through waits for an import's end.
func (s *shop) through(key string, made reply) (r importReply) {
	s.t.Helper()
	made.want(s.t, 201).read(s.t, &r)
	for until := time.Now().Add(20 * time.Second); r.State != "done"; {
		if time.Now().After(until) {
			s.t.Fatalf("the import is not through: %+v", r)
		}
		time.Sleep(50 * time.Millisecond)
		s.ask(key, "GET", "/v1/imports/"+r.ID.String(), "").want(s.t, 200).read(s.t, &r)
	}
	return r
}

func counts(r importReply) string {
	return fmt.Sprintf("%d rows, %d orders: %d good, %d loaded, %d known, %d faulty, %d faults", r.Rows, r.Orders, r.Good, r.Loaded, r.Known, r.Faulty, r.Count)
}

// A file is tried, then loaded, then loaded again: the second time nothing is.
func TestOrdersAreImportedOnce(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	file := latin(rowsGood)
	tried := s.through(rep, s.importing(rep, "try", "?dry_run=yes", rowsMapping, file))
	if got := counts(tried); got != "4 rows, 3 orders: 3 good, 0 loaded, 0 known, 0 faulty, 0 faults" {
		t.Errorf("tried: %s %+v", got, tried.Faults)
	}
	if got := s.found(rep, ""); len(got) != 0 {
		t.Errorf("a dry run stored %v", got)
	}
	if got := counts(s.through(rep, s.importing(rep, "load", "", rowsMapping, file))); got != "4 rows, 3 orders: 3 good, 3 loaded, 0 known, 0 faulty, 0 faults" {
		t.Errorf("loaded: %s", got)
	}
	var d order.Document
	numbers := s.found(rep, "po=a+1&dealer=studio-tamsel")
	if len(numbers) != 1 {
		t.Fatalf("found %v", numbers)
	}
	s.ask(rep, "GET", "/v1/orders/"+numbers[0], "").want(t, 200).read(t, &d)
	if len(d.Lines) != 2 || d.Lines[1].Quantity != 3 || d.Sidemark != "Müller" || d.ReceivedAt.Format("2006-01-02 15:04") != "2026-11-24 18:00" || d.Lines[0].Configuration[0].Entered != "48 in" {
		t.Errorf("%+v", d)
	}
	s.ask(rep, "GET", "/v1/orders/"+s.found(rep, "po=a+2")[0], "").want(t, 200).read(t, &d)
	if got := d.Lines[0].Configuration; got[0].Entered != "1219.0 mm" || got[0].Value != "1219 mm" {
		t.Errorf("a size in millimetres: %+v", got)
	}
	for _, once := range []string{"again", "anew"} {
		if got := counts(s.through(rep, s.importing(rep, once, "", rowsMapping, file))); got != "4 rows, 3 orders: 3 good, 0 loaded, 3 known, 0 faulty, 0 faults" {
			t.Errorf("%s: %s", once, got)
		}
	}
	replayed := s.importing(rep, "load", "", rowsMapping, file).want(t, 201)
	if replayed.header.Get("Idempotent-Replayed") != "true" {
		t.Error("the same request began another import")
	}
	// One order was there another way.
	s.placed(s.key("dealer studio-tamsel"), "x", bench("A 9"))
	more := latin(rowsHead + "Tamsel;a9;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\nTamsel;A 10;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n")
	if got := counts(s.through(rep, s.importing(rep, "more", "", rowsMapping, more))); got != "2 rows, 2 orders: 2 good, 1 loaded, 1 known, 0 faulty, 0 faults" {
		t.Errorf("%s", got)
	}
	if n := s.found(rep, ""); len(n) != 5 {
		t.Errorf("%d orders", len(n))
	}
	var list importList
	s.ask(rep, "GET", "/v1/imports", "").want(t, 200).read(t, &list)
	if len(list.Imports) != 5 {
		t.Errorf("%d imports", len(list.Imports))
	}
	var trail trailReply
	s.ask(rep, "GET", "/v1/orders/"+numbers[0]+"/audit", "").want(t, 200).read(t, &trail)
	if len(trail.Entries) != 1 || !strings.HasSuffix(trail.Entries[0].Reason, ", row 2") {
		t.Errorf("%+v", trail.Entries)
	}
}

// Every fault is told by its row and column; an order with one of them is left
// out whole, and the others are loaded.
func TestFaultyRowsLeaveTheirOrderOut(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	file := latin(rowsHead +
		"Tamsel;B 1;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 2
		"Tamsel;B 2;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 3: good, but its other row is not
		"Tamsel;B 2;;;Bank;zwei;48.5;Zoll;18 1/2;Karo;\r\n" + // 4
		"Tamsel;B 3;;;Bank;1;48;;18 1/2;Streifen;\r\n" + // 5: no unit
		"Tamsel;B 4;31.02.2026;;Stuhl;1;48;Zoll;18 1/2;Streifen;\r\n" + // 6
		"Tamsel;;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 7: no order
		"Tamsel;B 5;01.12.2026;;Bank;1;480;Zoll;18 1/2;Streifen;\r\n" + // 8: tomorrow's
		"Tamsel;B 6;01.10.2026;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 9: before the first catalog
		"Tamsel;B 7;;;Bank;1;480;Zoll;18 1/2;Streifen;\r\n" + // 10: too long
		"Nobody;B 8;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 11
		"Tamsel;B 9;;x;Bank;1;48;Zoll;18 1/2;Streifen;\r\n" + // 12
		"Tamsel;B 9;;y;Bank;1;48;Elle;18 1/2;Streifen;\r\n") // 13
	r := s.through(rep, s.importing(rep, "load", "", rowsMapping, file))
	if got := counts(r); got != "12 rows, 8 orders: 1 good, 1 loaded, 0 known, 7 faulty, 14 faults" {
		t.Errorf("%s", got)
	}
	var got []string
	for _, f := range r.Faults {
		got = append(got, fmt.Sprintf("%d %s %s", f.Row, f.Column, f.Code))
	}
	slices.Sort(got)
	want := []string{"10 Länge length.long", "11 Händler value.unknown", "13 Einheit value.unknown", "13 Kommission order.differs", "13 Länge length.unreadable", "4 Länge decimal.other", "4 Menge quantity.unreadable",
		"4 Stoff value.unknown", "5 Länge length.no-unit", "6 Artikel value.unknown", "6 Datum date.unreadable", "7 Bestellung row.no-order", "8 Datum date.future", "9 Datum date.no-catalog"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if n := s.found(rep, ""); len(n) != 1 {
		t.Errorf("%d orders", len(n))
	}
}

// A file that is not written as declared is refused for that one reason.
func TestFilesWrittenOtherwiseAreRefused(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	utf := strings.Replace(rowsMapping, "windows-1252", "utf-8", 1)
	for name, test := range map[string]struct {
		mapping string
		file    []byte
		want    string
	}{
		"UTF-8 declared as windows-1252": {rowsMapping, []byte(rowsGood), "/file file.encoding"},
		"windows-1252 declared as UTF-8": {utf, latin(rowsGood), "/file file.encoding"},
		"the mark of UTF-16":             {utf, append([]byte("\xff\xfe"), latin(rowsGood)...), "/file file.encoding"},
		"declared as UTF-16":             {strings.Replace(rowsMapping, "windows-1252", "utf-16le", 1), latin(rowsGood), "/file file.encoding"},
		"commas":                         {rowsMapping, latin(strings.ReplaceAll(rowsGood, ";", ",")), "/file file.delimiter"},
		"tabs":                           {utf, []byte(strings.ReplaceAll(rowsGood, ";", "\t")), "/file file.delimiter"},
		"another head":                   {rowsMapping, latin(strings.Replace(rowsGood, "Menge", "Stück", 1)), "/file file.columns"},
		"one column more":                {rowsMapping, latin(strings.Replace(rowsGood, "Menge", "Menge;Farbe", 1)), "/file file.columns"},
		"a workbook":                     {utf, []byte("PK\x03\x04\x00\x00"), "/file file.encoding"},
		"quotes that do not close":       {utf, []byte(rowsHead + `Tamsel;"A 1;` + "\n"), "/file file.form"},
		"nothing":                        {utf, nil, "/file file.form"},
		"heads only":                     {utf, []byte(rowsHead), "/file file.form"},
		"no workbook":                    {"file: xlsx\nsheet: a\ndecimal: .\norder: {dealer: a, po: b}\nline: {product: c, quantity: d}", []byte("a,b"), "/file file.form"},
		"no decimal mark":                {strings.Replace(utf, `decimal: ","`, "", 1), []byte(rowsGood), "/mapping mapping"},
		"an unknown field":               {utf + "colour: red\n", []byte(rowsGood), "/mapping mapping"},
		"an unknown attribute":           {utf + "  hue: Stoff\n", []byte(rowsGood), "/mapping mapping"},
	} {
		problem := s.importing(rep, strings.ReplaceAll(name, " ", "-"), "", test.mapping, test.file).problem(t, 422)
		if len(problem.Errors) != 1 || problem.Errors[0].Pointer+" "+problem.Errors[0].Code != test.want {
			t.Errorf("%s: %+v, want %s", name, problem.Errors, test.want)
		}
	}
	if n := s.found(rep, ""); len(n) != 0 {
		t.Errorf("%d orders", len(n))
	}
	s.ask(rep, "POST", "/v1/imports", `{"mapping":"x","file":"%%"}`, "Idempotency-Key: b64").problem(t, 422)
	s.ask(rep, "GET", "/v1/imports/"+uuid.NewString(), "").problem(t, 404)
}

// An import whose process was killed in the middle goes on where it was, by
// whoever asks for it next.
func TestAnImportGoesOnAfterAKill(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	var rows strings.Builder
	rows.WriteString(rowsHead)
	const orders = 3*importStep + 7
	for i := range orders {
		fmt.Fprintf(&rows, "Tamsel;K %d;;;Bank;1;48;Zoll;18 1/2;Streifen;\r\n", i)
	}
	file := latin(rows.String())
	// As a process leaves it that was killed after its first step.
	id := uuid.Must(uuid.NewV7())
	s.transact(func(ctx context.Context, tx pgx.Tx) error {
		return orderdb.AddImport(ctx, tx, s.workshop, orderdb.Import{ID: id, Name: "k", Mapping: []byte(rowsMapping), Rows: orders, Orders: orders, BegunAt: noon, BegunBy: "key", Role: "rep"}, file)
	})
	killed, cancel := context.WithCancel(t.Context())
	first := &importRun{server: s.server, workshop: s.workshop, id: id, revisions: map[int]*catalog.Catalog{}}
	first.stepped = func() { cancel() }
	err := first.run(killed)
	if t.Log(err); err == nil {
		t.Fatal("the first process was not ended")
	}
	stored := len(s.found(rep, ""))
	var r importReply
	s.ask(rep, "GET", "/v1/imports/"+id.String(), "").want(t, 200).read(t, &r)
	if r.State != "running" || r.Position != importStep || r.Loaded != importStep || stored != importStep {
		t.Fatalf("after the kill: %s, position %d, %d orders", counts(r), r.Position, stored)
	}
	// Its lease runs out; then another process goes on.
	if _, err := s.db.AdminPool(t).Exec(t.Context(), `update order_import set leased_until = now() - interval '1 second'`); err != nil {
		t.Fatal(err)
	}
	for until := time.Now().Add(20 * time.Second); r.State != "done" && time.Now().Before(until); time.Sleep(30 * time.Millisecond) {
		s.ask(rep, "GET", "/v1/imports/"+id.String(), "").want(t, 200).read(t, &r)
	}
	if got, want := counts(r), fmt.Sprintf("%d rows, %[1]d orders: %[1]d good, %[1]d loaded, 0 known, 0 faulty, 0 faults", orders); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	var n, distinct int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*), count(distinct po) from dealer_order`).Scan(&n, &distinct); err != nil || n != orders || distinct != orders {
		t.Errorf("%d orders, %d different (%v)", n, distinct, err)
	}
}

// A workbook gives what the same rows as CSV give; its numbers have a point.
func TestOrdersAreImportedFromAWorkbook(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	book := excelize.NewFile()
	defer book.Close()
	if err := book.SetSheetName("Sheet1", "Orders"); err != nil {
		t.Fatal(err)
	}
	for i, row := range [][]any{{"Dealer", "PO", "Date", "Product", "Qty", "Length", "Height"},
		{"studio-tamsel", "W 1", time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), "sallow-bench", 2, 1219, "18 1/2 in"},
		{},
		{"studio-tamsel", "W 2", nil, "sallow-bench", 1.5, "48 in", "18,5 in"}} {
		if err := book.SetSheetRow("Orders", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	var file bytes.Buffer
	if err := book.Write(&file); err != nil {
		t.Fatal(err)
	}
	const mapping = `
file: xlsx
sheet: Orders
decimal: "."
unit: mm
dates: sheet
order: {dealer: Dealer, po: PO, ordered: Date}
line: {product: Product, quantity: Qty}
configuration: {length: Length, height: Height, cloth: {value: oat-weave}}
`
	r := s.through(rep, s.importing(rep, "load", "", mapping, file.Bytes()))
	if got := counts(r); got != "2 rows, 2 orders: 1 good, 1 loaded, 0 known, 1 faulty, 2 faults" {
		t.Errorf("%s: %+v", got, r.Faults)
	}
	if len(r.Faults) != 2 || r.Faults[0].Row != 4 || r.Faults[0].Column != "Height" || r.Faults[1].Column != "Qty" {
		t.Errorf("%+v", r.Faults)
	}
	d := s.got(rep, s.found(rep, "")[0])
	if d.PO != "W 1" || d.Lines[0].Quantity != 2 || d.Lines[0].Configuration[0].Value != "1219 mm" || d.ReceivedAt.Format(time.DateOnly) != "2026-11-24" {
		t.Errorf("%+v", d)
	}
	if got := s.importing(rep, "sheet", "", strings.Replace(mapping, "Orders", "Sheet9", 1), file.Bytes()).faults(t, 422); !slices.Equal(got, []string{"/file file.columns"}) {
		t.Errorf("%v", got)
	}
}
