-- +goose Up
-- What was earned in a month and what it cost, by the order line that it is about, or what belongs to none (0): sums of the journal's lines, part by
-- part, which the program keeps along. sold says that a price is among them. What is earned is more than nothing, a cost less.
CREATE TABLE earned_sums (
    month           TEXT NOT NULL,
    order_id        INTEGER NOT NULL,
    line            INTEGER NOT NULL,
    edition         INTEGER NOT NULL,
    outlet          INTEGER NOT NULL,
    currency        TEXT NOT NULL,
    sold            INTEGER NOT NULL CHECK (sold IN (0, 1)),
    price           INTEGER NOT NULL,
    postage_charged INTEGER NOT NULL,
    other_income    INTEGER NOT NULL,
    came_back       INTEGER NOT NULL,
    paid_back       INTEGER NOT NULL,
    sheets          INTEGER NOT NULL,
    reprints        INTEGER NOT NULL,
    packaging       INTEGER NOT NULL,
    postage         INTEGER NOT NULL,
    outlet_fees     INTEGER NOT NULL,
    payment_fees    INTEGER NOT NULL,
    gallery_shares  INTEGER NOT NULL,
    fair_costs      INTEGER NOT NULL,
    cash_box        INTEGER NOT NULL,
    claims          INTEGER NOT NULL,
    minutes         INTEGER NOT NULL,
    other_costs     INTEGER NOT NULL,
    PRIMARY KEY (month, order_id, line, edition, outlet, currency)
) STRICT, WITHOUT ROWID;
CREATE INDEX earned_sums_order ON earned_sums (order_id);
INSERT INTO earned_sums
    SELECT substr(e.day, 1, 7), l.order_id, l.line, l.edition, l.outlet, l.currency,
        max(CASE WHEN l.account IN ('sales', 'gallery-sales') THEN 1 ELSE 0 END),
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
        -sum(CASE WHEN l.account IN ('other-costs') THEN l.amount ELSE 0 END)
    FROM entries e JOIN entry_lines l ON l.entry = e.id
    WHERE l.account IN (
        'sales', 'gallery-sales', 'postage-charged', 'other-income', 'exchange', 'returns',
        'refunds', 'cost-of-prints', 'spoilt', 'count-differences', 'packaging', 'postage',
        'outlet-fees', 'payment-fees', 'gallery-share', 'fair-costs', 'cash-differences', 'claim-losses',
        'minutes', 'other-costs'
    )
    GROUP BY 1, 2, 3, 4, 5, 6;

-- What puts a closed period right is found without going through all of a year.
CREATE INDEX entries_late ON entries (day) WHERE true_day <> '';
-- What belongs to no order is opened to its entries.
CREATE INDEX entry_lines_none ON entry_lines (entry) WHERE order_id = 0;
