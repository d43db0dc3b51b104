package orderdb

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/deploy/postgres"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations"
	"billwright/migrations/tenancy"
)

// BenchmarkInsert stores orders of three lines and 30 requirements, with a bill
// of 20 kB, as a request does it: claim the key, insert, commit. Ephemeral is
// the tests' server, durable one whose commits reach the disk.
//
//	go test ./bom/order/orderdb -run '^$' -bench Insert -benchtime 5s
func BenchmarkInsert(b *testing.B) {
	b.Run("ephemeral", func(b *testing.B) {
		db := testdb.New(b)
		benchmarkInsert(b, db.AppURL, db.AdminURL)
	})
	b.Run("durable", func(b *testing.B) {
		ctx := context.Background()
		dir, err := os.MkdirTemp("", "billwright-bench-")
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { os.RemoveAll(dir) })
		// Root's server runs under another account, which must get in.
		if err := os.Chmod(dir, 0o711); err != nil {
			b.Fatal(err)
		}
		server, err := postgres.Start(ctx, postgres.Options{Dir: filepath.Join(dir, "database")})
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() {
			if err := server.Stop(ctx); err != nil {
				b.Error(err)
			}
		})
		admin := server.URL(postgres.Superuser, "postgres")
		for _, act := range []func(context.Context, string) error{migrations.EnsureRoles, migrations.Up} {
			if err := act(ctx, admin); err != nil {
				b.Fatal(err)
			}
		}
		benchmarkInsert(b, server.URL(migrations.AppRole, "postgres"), admin)
	})
}

func benchmarkInsert(b *testing.B, appURL, adminURL string) {
	s := newShop(b, appURL, adminURL)
	s.found("corrindale")
	bill := realistic()
	var n atomic.Int64
	for _, writers := range []int{1, 8} {
		b.Run(fmt.Sprintf("%d writers", writers), func(b *testing.B) {
			b.ReportAllocs()
			b.SetParallelism((writers + 1) / 2) // times GOMAXPROCS, 2 on the machine of record
			body := func() error {
				o := newOrder(tamsel, fmt.Sprintf("PO %d", n.Add(1)))
				o.Bill, o.Document, o.Idempotency.Body = bill, bill[:4_000], bill[:4_000]
				o.BillHash = bom.Hash(bill)
				return tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: tamsel}, func(tx pgx.Tx) error {
					return Insert(s.ctx, tx, s.id, o)
				})
			}
			if writers == 1 {
				for b.Loop() {
					if err := body(); err != nil {
						b.Fatal(err)
					}
				}
			} else {
				b.RunParallel(func(pb *testing.PB) {
					for pb.Next() {
						if err := body(); err != nil {
							b.Error(err)
							return
						}
					}
				})
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "orders/s")
		})
	}
}

// realistic is a bill of about 20 kB of JSON.
func realistic() []byte {
	var text strings.Builder
	for i := range 100 {
		fmt.Fprintf(&text, `{"path":"base/leg-%d","section":"square-bar-1","pieces":%d,"finished":"%d 3/4 in","cut":"%d 25/32 in","weight":"%d.%02d lb","work":["drill","level"],"metal_finish":"soot"},`, i, 1+i%4, i*7%90, i*7%90, i*3%50, i*17%100)
	}
	return []byte(text.String())
}
