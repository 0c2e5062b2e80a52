-- +goose Up
-- What was earned, and what it cost, is kept by day and no longer by month, so that no page reads the journal's lines of the days beside whole months; with
-- what its parts leave together, and the tax of it, which is no part of what was earned: what is owed of it, by the studio and by the outlet, is more than nothing.
DROP TABLE earned_sums;
CREATE TABLE earned_sums (
    day             TEXT COLLATE "C" NOT NULL,
    order_id        BIGINT NOT NULL,
    line            BIGINT NOT NULL,
    edition         BIGINT NOT NULL,
    outlet          BIGINT NOT NULL,
    currency        TEXT COLLATE "C" NOT NULL,
    sold            BIGINT NOT NULL CHECK (sold IN (0, 1)),
    remains         BIGINT NOT NULL,
    price           BIGINT NOT NULL,
    postage_charged BIGINT NOT NULL,
    other_income    BIGINT NOT NULL,
    came_back       BIGINT NOT NULL,
    paid_back       BIGINT NOT NULL,
    sheets          BIGINT NOT NULL,
    reprints        BIGINT NOT NULL,
    packaging       BIGINT NOT NULL,
    postage         BIGINT NOT NULL,
    outlet_fees     BIGINT NOT NULL,
    payment_fees    BIGINT NOT NULL,
    gallery_shares  BIGINT NOT NULL,
    fair_costs      BIGINT NOT NULL,
    cash_box        BIGINT NOT NULL,
    claims          BIGINT NOT NULL,
    minutes         BIGINT NOT NULL,
    other_costs     BIGINT NOT NULL,
    tax             BIGINT NOT NULL,
    outlet_tax      BIGINT NOT NULL,
    PRIMARY KEY (day, order_id, line, edition, outlet, currency)
);
INSERT INTO earned_sums
    SELECT e.day, l.order_id, l.line, l.edition, l.outlet, l.currency,
        max(CASE WHEN l.account IN ('sales', 'gallery-sales') THEN 1 ELSE 0 END),
        -sum(CASE WHEN l.account IN ('tax', 'outlet-tax') THEN 0 ELSE l.amount END),
        -sum(CASE WHEN l.account IN ('sales', 'gallery-sales') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('postage-charged') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('other-income', 'exchange') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('returns') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('refunds') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('cost-of-prints') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('spoilt', 'count-differences') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('packaging') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('postage') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('outlet-fees') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('payment-fees') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('gallery-share') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('fair-costs') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('cash-differences') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('claim-losses') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('minutes') THEN l.amount ELSE 0 END),
        -sum(CASE WHEN l.account IN ('other-costs') THEN l.amount ELSE 0 END),
        -sum(CASE l.account WHEN 'tax' THEN l.amount ELSE 0 END),
        -sum(CASE l.account WHEN 'outlet-tax' THEN l.amount ELSE 0 END)
    FROM entries e JOIN entry_lines l ON l.entry = e.id
    WHERE l.account IN (
        'sales', 'gallery-sales', 'postage-charged', 'other-income', 'exchange', 'returns',
        'refunds', 'cost-of-prints', 'spoilt', 'count-differences', 'packaging', 'postage',
        'outlet-fees', 'payment-fees', 'gallery-share', 'fair-costs', 'cash-differences', 'claim-losses',
        'minutes', 'other-costs', 'tax', 'outlet-tax'
    )
    GROUP BY 1, 2, 3, 4, 5, 6;
CREATE INDEX earned_sums_order ON earned_sums (order_id);
CREATE INDEX earned_sums_edition ON earned_sums (edition) WHERE edition <> 0;

-- The same line may be sold in more than one place of it now, and an order may have nothing but tax.
UPDATE order_sums SET again = 1 WHERE again = 0 AND order_id IN (
    SELECT order_id FROM earned_sums WHERE sold = 1 AND order_id <> 0 AND line <> 0 GROUP BY order_id, line HAVING count(*) > 1
);
INSERT INTO order_sums
    SELECT o.id, o.buyer, CASE WHEN o.ship_country = '' OR o.ship_region = '' THEN o.ship_country ELSE o.ship_country || ' ' || o.ship_region END, 0, 0, 0
    FROM orders o WHERE o.id IN (SELECT order_id FROM earned_sums) AND o.id NOT IN (SELECT order_id FROM order_sums);

-- What belongs to no order is mostly stock and what is owed for it, of which no page asks here.
DROP INDEX entry_lines_none;
CREATE INDEX entry_lines_none ON entry_lines (entry) WHERE order_id = 0 AND account NOT IN ('sheets', 'supplies', 'postal');
-- The latest sales of an outlet are found when it pays out.
CREATE INDEX orders_placed ON orders (outlet, placed, id);
-- The first page afterwards asks like every other: until the server looked at the table by itself it took it for an empty one.
ANALYZE earned_sums;
