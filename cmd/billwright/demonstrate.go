package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"time"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/demonstration"
)

// demonstrate takes the example order over HTTP, as a dealer's portal would,
// and prints it with its bill. Its idempotency key is always the same, so that
// a second start prints the same order instead of taking another.
func demonstrate(ctx context.Context, base string, shop workshop, out io.Writer) error {
	client := portal{base: base, key: shop.Key, client: &http.Client{Timeout: 30 * time.Second}}
	var taken order.Document
	header := http.Header{"Idempotency-Key": {"demonstration-order"}, "Content-Type": {"application/json"}}
	if err := client.do(ctx, http.MethodPost, "/v1/orders", header, demonstration.Order(), &taken); err != nil {
		return fmt.Errorf("take the example order: %w", err)
	}
	var bill bom.Bill
	if err := client.do(ctx, http.MethodGet, "/v1/orders/"+taken.Number+"/bill", nil, nil, &bill); err != nil {
		return fmt.Errorf("read the bill of the example order: %w", err)
	}
	fmt.Fprintln(out, "The example order, taken over HTTP with the demonstration dealer's key:")
	fmt.Fprintln(out)
	return printOrder(out, &taken, &bill)
}

// portal is a dealer's client of the interface.
type portal struct {
	base, key string
	client    *http.Client
}

func (p portal) do(ctx context.Context, method, path string, header http.Header, body []byte, into any) error {
	request, err := http.NewRequestWithContext(ctx, method, p.base+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	for name, values := range header {
		request.Header[name] = values
	}
	request.Header.Set("Authorization", "Bearer "+p.key)
	reply, err := p.client.Do(request)
	if err != nil {
		return err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(io.LimitReader(reply.Body, 64<<20))
	if err != nil {
		return err
	}
	if reply.StatusCode >= 300 {
		return fmt.Errorf("%s %s was answered %s: %s", method, path, reply.Status, text)
	}
	return json.Unmarshal(text, into)
}
