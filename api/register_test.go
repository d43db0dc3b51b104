package api

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// A body of 100 MB is refused after its first MiB, whether announced or not,
// and costs at most 4 MiB.
func TestHugeBodyCostsLittle(t *testing.T) {
	s, _ := brokenServer(t, Settings{})
	addr := strings.TrimPrefix(serve(t, s), "http://")
	chunk := bytes.Repeat([]byte(`{"po":`), 10<<10)
	const size = 100 << 20
	for _, announced := range []bool{true, false} {
		conn, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		go func() {
			defer conn.(*net.TCPConn).CloseWrite()
			fmt.Fprintf(conn, "POST /v1/orders HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n")
			if announced {
				fmt.Fprintf(conn, "Content-Length: %d\r\n\r\n", size)
			} else {
				fmt.Fprintf(conn, "Transfer-Encoding: chunked\r\n\r\n")
			}
			for sent := 0; sent < size; sent += len(chunk) {
				if !announced {
					if _, err := fmt.Fprintf(conn, "%x\r\n", len(chunk)); err != nil {
						return
					}
				}
				if _, err := conn.Write(chunk); err != nil {
					return // the server has hung up, as it should
				}
				if !announced {
					_, _ = io.WriteString(conn, "\r\n")
				}
			}
		}()
		_ = conn.SetReadDeadline(time.Now().Add(10 * time.Second))
		reply, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err != nil {
			t.Fatal(err)
		}
		p := readProblem(t, reply, 413)
		runtime.ReadMemStats(&after)
		if got := after.TotalAlloc - before.TotalAlloc; got > 4<<20 {
			t.Errorf("announced %t: %d bytes allocated", announced, got)
		} else {
			t.Logf("announced %t: %d KiB allocated", announced, got>>10)
		}
		if !strings.Contains(p.Detail, strconv.Itoa(1<<20)) || !reply.Close {
			t.Errorf("detail %q, close %t", p.Detail, reply.Close)
		}
		conn.Close()
	}
}

func TestABodyOfExactlyTheLimitIsRead(t *testing.T) {
	s, _ := brokenServer(t, Settings{MaxBody: 3000})
	base := serve(t, s)
	good := testOrderText(t)
	for _, c := range []struct {
		size    int
		chunked bool
		status  int
	}{{3000, false, 201}, {3000, true, 201}, {3001, false, 413}, {3001, true, 413}} {
		body := io.Reader(strings.NewReader(string(good) + strings.Repeat(" ", c.size-len(good))))
		if c.chunked {
			body = io.MultiReader(body) // hides the length
		}
		reply, err := http.Post(base+"/v1/orders", "application/json", body)
		if err != nil {
			t.Fatal(err)
		}
		reply.Body.Close()
		if reply.StatusCode != c.status {
			t.Errorf("%+v: %d", c, reply.StatusCode)
		}
	}
}

func TestSlowAndBrokenBodies(t *testing.T) {
	s, _ := brokenServer(t, Settings{BodyTimeout: 200 * time.Millisecond})
	addr := strings.TrimPrefix(serve(t, s), "http://")
	const head = "POST /v1/orders HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"
	for _, c := range []struct {
		name, sent string
		hangUp     bool
		status     int
	}{
		{"stuck", head + "Content-Length: 90\r\n\r\n{\"po\":", false, 408},
		{"cut short", head + "Content-Length: 90\r\n\r\n{\"po\":", true, 400},
		{"broken chunk", head + "Transfer-Encoding: chunked\r\n\r\nzz\r\n", false, 400},
	} {
		t.Run(c.name, func(t *testing.T) {
			conn, err := net.Dial("tcp", addr)
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			_, _ = io.WriteString(conn, c.sent)
			if c.hangUp {
				_ = conn.(*net.TCPConn).CloseWrite()
			}
			_ = conn.SetReadDeadline(time.Now().Add(5 * time.Second))
			reply, err := http.ReadResponse(bufio.NewReader(conn), nil)
			if err != nil {
				t.Fatal(err)
			}
			readProblem(t, reply, c.status)
		})
	}
}

// An unread body must not hold a connection for ever.
func TestUnreadBodyIsNotWaitedFor(t *testing.T) {
	s, _ := brokenServer(t, Settings{})
	conn, err := net.Dial("tcp", strings.TrimPrefix(serve(t, s), "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_, _ = io.WriteString(conn, "GET /healthz HTTP/1.1\r\nHost: a\r\nContent-Length: 90\r\n\r\nx")
	_ = conn.SetReadDeadline(time.Now().Add(8 * time.Second))
	if _, err := io.ReadAll(conn); err != nil { // the end comes when the server hangs up
		t.Errorf("still open: %v", err)
	}
}

// The time a body may take says nothing of the time its handler may take.
func TestHandlerOutlivesBodyTimeout(t *testing.T) {
	s, _ := brokenServer(t, Settings{BodyTimeout: 100 * time.Millisecond, RequestTimeout: 700 * time.Millisecond})
	register(s, huma.Operation{OperationID: "slow", Method: http.MethodPost, Path: "/slow"},
		func(ctx context.Context, in *struct {
			Body struct {
				Millis int `json:"millis"`
			}
		}) (*struct{}, error) {
			select {
			case <-ctx.Done():
				return nil, ctx.Err()
			case <-time.After(time.Duration(in.Body.Millis) * time.Millisecond):
				return nil, nil
			}
		})
	base := serve(t, s)
	for body, status := range map[string]int{`{"millis":300}`: 204, `{"millis":3000}`: 503} {
		reply, err := http.Post(base+"/slow", "application/json", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		reply.Body.Close()
		if reply.StatusCode != status {
			t.Errorf("%s: %d, want %d", body, reply.StatusCode, status)
		}
	}
}

func TestRawBodiesAreBoundedToo(t *testing.T) {
	s, _ := brokenServer(t, Settings{})
	register(s, huma.Operation{OperationID: "raw", Method: http.MethodPost, Path: "/raw", MaxBodyBytes: 10},
		func(_ context.Context, in *struct {
			RawBody []byte `contentType:"text/csv"`
		}) (*struct{ Body struct{ N int } }, error) {
			return &struct{ Body struct{ N int } }{struct{ N int }{len(in.RawBody)}}, nil
		})
	for body, status := range map[string]int{"po,qty\r\n": 200, "po,quantity": 413} {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("POST", "/raw", strings.NewReader(body))
		r.Header.Set("Content-Type", "text/csv")
		s.Handler().ServeHTTP(w, r)
		if w.Code != status || status == 200 && w.Body.String() != `{"N":8}` {
			t.Errorf("%q: %d %s", body, w.Code, w.Body)
		}
	}
}
