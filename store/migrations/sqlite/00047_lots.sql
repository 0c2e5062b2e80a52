-- +goose Up
-- What is kept of each order whose sums are kept: whose it is and to which state it goes, as its sums are told apart; what is left of it in all; whether
-- one of its lines was sold in more than one place of earned_sums; and whether something is owed of it though it is not open any more.
CREATE TABLE order_sums (
    order_id INTEGER PRIMARY KEY,
    buyer    INTEGER NOT NULL,
    state    TEXT NOT NULL,
    remains  INTEGER NOT NULL,
    again    INTEGER NOT NULL CHECK (again IN (0, 1)),
    owed     INTEGER NOT NULL CHECK (owed IN (0, 1))
) STRICT;
CREATE INDEX order_sums_lost ON order_sums (remains) WHERE remains < 0;
CREATE INDEX order_sums_again ON order_sums (order_id) WHERE again = 1;
CREATE INDEX order_sums_owed ON order_sums (order_id) WHERE owed = 1;

-- What was earned and what it cost by edition, outlet and state in a month, and by buyer in a year and in all (''): sums of earned_sums, part by
-- part. prints are the order lines that were sold, each once; remains is the sum of the parts.
CREATE TABLE lot_sums (
    lot             TEXT NOT NULL CHECK (lot IN ('edition', 'outlet', 'state', 'buyer')),
    period          TEXT NOT NULL,
    id              INTEGER NOT NULL,
    text            TEXT NOT NULL,
    currency        TEXT NOT NULL,
    prints          INTEGER NOT NULL,
    remains         INTEGER NOT NULL,
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
    PRIMARY KEY (lot, period, id, text, currency)
) STRICT, WITHOUT ROWID;

INSERT INTO order_sums
    SELECT o.id, o.buyer, CASE WHEN o.ship_country = '' OR o.ship_region = '' THEN o.ship_country ELSE o.ship_country || ' ' || o.ship_region END,
        coalesce(s.remains, 0), coalesce(s.again, 0), CASE WHEN w.id IS NULL THEN 0 ELSE 1 END
    FROM orders o
    LEFT JOIN (
        SELECT s.order_id, sum(s.left_over) AS remains, max(CASE WHEN s.line <> 0 AND s.sold > 1 THEN 1 ELSE 0 END) AS again
        FROM (
            SELECT s.order_id, s.line, sum(s.sold) AS sold,
                sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging +
                    s.postage + s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes +
                    s.other_costs) AS left_over
            FROM earned_sums s WHERE s.order_id <> 0 GROUP BY s.order_id, s.line
        ) s GROUP BY s.order_id
    ) s ON s.order_id = o.id
    LEFT JOIN (
        SELECT id FROM (
            SELECT id, CASE state WHEN 'closed' THEN 2 ELSE 1 END AS ended, 0 AS goods,
                postage + CASE tax_by_outlet WHEN 1 THEN 0 ELSE tax END AS more, 0 AS paid
                FROM orders WHERE state <> 'open'
            UNION ALL SELECT order_id, 0, price, 0, 0 FROM lines WHERE dropped = 0
            UNION ALL SELECT order_id, 0, 0, 0, CASE kind WHEN 'refund' THEN -amount ELSE amount END FROM payments WHERE reversed = 0
        ) x GROUP BY id HAVING max(ended) > 0 AND sum(paid) <> CASE max(ended) WHEN 2 THEN sum(goods) + sum(more) ELSE 0 END
    ) w ON w.id = o.id
    WHERE s.order_id IS NOT NULL OR w.id IS NOT NULL;
INSERT INTO lot_sums
    SELECT 'edition', s.month, s.edition, '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs),
        sum(s.price), sum(s.postage_charged), sum(s.other_income), sum(s.came_back), sum(s.paid_back), sum(s.sheets), sum(s.reprints),
        sum(s.packaging), sum(s.postage), sum(s.outlet_fees), sum(s.payment_fees), sum(s.gallery_shares), sum(s.fair_costs), sum(s.cash_box),
        sum(s.claims), sum(s.minutes), sum(s.other_costs)
    FROM earned_sums s GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'outlet', s.month, s.outlet, '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs),
        sum(s.price), sum(s.postage_charged), sum(s.other_income), sum(s.came_back), sum(s.paid_back), sum(s.sheets), sum(s.reprints),
        sum(s.packaging), sum(s.postage), sum(s.outlet_fees), sum(s.payment_fees), sum(s.gallery_shares), sum(s.fair_costs), sum(s.cash_box),
        sum(s.claims), sum(s.minutes), sum(s.other_costs)
    FROM earned_sums s GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'state', s.month, 0, coalesce(k.state, ''), s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs),
        sum(s.price), sum(s.postage_charged), sum(s.other_income), sum(s.came_back), sum(s.paid_back), sum(s.sheets), sum(s.reprints),
        sum(s.packaging), sum(s.postage), sum(s.outlet_fees), sum(s.payment_fees), sum(s.gallery_shares), sum(s.fair_costs), sum(s.cash_box),
        sum(s.claims), sum(s.minutes), sum(s.other_costs)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'buyer', substr(s.month, 1, 4), coalesce(k.buyer, 0), '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs),
        sum(s.price), sum(s.postage_charged), sum(s.other_income), sum(s.came_back), sum(s.paid_back), sum(s.sheets), sum(s.reprints),
        sum(s.packaging), sum(s.postage), sum(s.outlet_fees), sum(s.payment_fees), sum(s.gallery_shares), sum(s.fair_costs), sum(s.cash_box),
        sum(s.claims), sum(s.minutes), sum(s.other_costs)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'buyer', '', coalesce(k.buyer, 0), '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs),
        sum(s.price), sum(s.postage_charged), sum(s.other_income), sum(s.came_back), sum(s.paid_back), sum(s.sheets), sum(s.reprints),
        sum(s.packaging), sum(s.postage), sum(s.outlet_fees), sum(s.payment_fees), sum(s.gallery_shares), sum(s.fair_costs), sum(s.cash_box),
        sum(s.claims), sum(s.minutes), sum(s.other_costs)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;

-- A row of the figures is opened to its orders.
CREATE INDEX earned_sums_edition ON earned_sums (edition) WHERE edition <> 0;
