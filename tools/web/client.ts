// A client in another language, for the tests: its types are generated from the description that the studio itself
// serves, so that it does not compile when description and calls disagree. Arguments: address, token, feed, secret.
import { createHmac } from "node:crypto";
import createClient from "openapi-fetch";
import type { paths } from "./api.js";

const [address, token, feed, secret] = process.argv.slice(2) as [string, string, string, string];
const client = createClient<paths>({ baseUrl: address + "api/v1", headers: { Authorization: `Bearer ${token}` } });

function is(what: string, got: unknown, want: unknown): void {
  if (JSON.stringify(got) !== JSON.stringify(want)) {
    throw new Error(`${what}: ${JSON.stringify(got)}, want ${JSON.stringify(want)}`);
  }
}

function there<T>(what: string, value: T | undefined | null): T {
  if (value === undefined || value === null) throw new Error(`${what} is not there`);
  return value;
}

const body = {
  ref: "web/17 é",
  buyer: { name: "Ada Quill", email: "ada@example.org" },
  ship_to: { line1: "12 Oak Street", city: "Denver", region: "CO", postcode: "80202", country: "US" },
  lines: [{ edition: 1 }, { edition: 1, number: "17" }],
  postage: { minor: 500, currency: "USD" },
};

const shelf = await client.GET("/editions");
is("an edition", there("list", shelf.data).editions[0]?.title, "Heron at dusk");

const header = (key: string) => ({ "Idempotency-Key": key });
const taken = await client.POST("/orders", { params: { header: header("take-17") }, body });
is("taking", taken.response.status, 201);
const order = there("the order", taken.data);
is("numbers", order.lines.map((l) => l.number), ["1/250", "17/250"]);
is("due", order.due, { minor: 24500, currency: "USD" });

const again = await client.POST("/orders", { params: { header: header("take-17") }, body });
is("the same again", again.data, order);
is("its tag", again.response.headers.get("ETag"), taken.response.headers.get("ETag"));
const other = await client.POST("/orders", { params: { header: header("take-17") }, body: { ...body, note: "other" } });
is("the same key for another order", [other.response.status, other.error?.code], [409, "taken"]);

const path = { ref: body.ref };
const paid = await client.POST("/orders/{ref}/payments", {
  params: { path, header: header("pay-17") }, body: { amount: { minor: 10000, currency: "USD" }, note: "half" },
});
is("paying", [paid.response.status, paid.data?.owed.minor, paid.data?.payments[0]?.kind], [201, 14500, "deposit"]);

const stale = there("tag", taken.response.headers.get("ETag"));
const late = await client.PATCH("/orders/{ref}", { params: { path, header: { ...header("c-1"), "If-Match": stale } }, body: { note: "ring twice" } });
is("a change of what was", [late.response.status, late.error?.code], [412, "changed"]);
const now = await client.GET("/orders/{ref}", { params: { path } });
const tag = there("tag", now.response.headers.get("ETag"));
const changed = await client.PATCH("/orders/{ref}", { params: { path, header: { ...header("c-2"), "If-Match": tag } }, body: { note: "ring twice" } });
is("a change", [changed.response.status, changed.data?.note], [200, "ring twice"]);
const moved = await client.PUT("/orders/{ref}/address", {
  params: { path, header: { ...header("c-3"), "If-Match": there("tag", changed.response.headers.get("ETag")) } },
  body: { name: "Ada Quill", line1: "1 Elm", city: "Boulder", region: "CO", postcode: "80301", country: "US" },
});
is("a new address", [moved.response.status, moved.data?.ship_to.city], [200, "Boulder"]);
const named = await client.PUT("/orders/{ref}/buyer", { params: { path, header: { ...header("c-4"), "If-Match": "*" } }, body: { name: "Adelaide Quill" } });
is("a new name", [named.response.status, named.data?.buyer.name], [200, "Adelaide Quill"]);

const wrong = await client.POST("/orders", {
  params: { header: header("take-18") },
  body: { ...body, ref: "web-18", buyer: { name: "", email: "nobody" }, lines: [{ edition: 1, price: { minor: -5, currency: "USD" } }] },
});
is("fields", there("errors", wrong.error?.errors).map((e) => e.pointer), ["#/buyer/name", "#/buyer/email", "#/ship_to/name", "#/lines/0/price"]);
is("their kind", [wrong.response.status, wrong.response.headers.get("Content-Type")], [422, "application/problem+json"]);

const stranger = createClient<paths>({ baseUrl: address + "api/v1", headers: { Authorization: "Bearer 1.nobody" } });
const refused = await stranger.GET("/editions");
is("a stranger", [refused.response.status, refused.response.headers.get("WWW-Authenticate")], [401, 'Bearer realm="solander"']);

// A signed message, by another implementation of the signature.
const message = JSON.stringify({ id: "till-1", who: "Bo Reed", street: "3 Pine", town: "Salem", state: "MA", zip: "01970", items: [{ sku: "HERON", each: "120.00" }] });
async function send(stamp: number): Promise<Response> {
  const mac = createHmac("sha256", secret).update(`${stamp}.${feed}.`).update(message).digest("hex");
  return fetch(`${address}hooks/${feed}`, {
    method: "POST", body: message,
    headers: { "Content-Type": "application/json", "Solander-Time": String(stamp), "Solander-Signature": `v2=${mac}` },
  });
}
const stamp = Math.floor(Date.now() / 1000);
const got = await send(stamp);
is("a message", [got.status, ((await got.json()) as { ref: string }).ref], [201, "till-1"]);
is("the message again", (await send(stamp)).status, 409);
is("an old message", (await send(stamp - 3600)).status, 401);
const till = await client.GET("/orders/{ref}", { params: { path: { ref: "till-1" } } });
is("its order", [till.data?.buyer.name, till.data?.lines[0]?.number], ["Bo Reed", "2/250"]);

console.log("all calls answered as described");
