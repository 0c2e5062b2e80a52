-- +goose Up
-- What is kept of each order whose sums are kept: whose it is and to which state it goes, as its sums are told apart; what is left of it in all; whether
-- one of its lines was sold in more than one place of earned_sums; and whether something is owed of it though it is not open any more.
CREATE TABLE order_sums (
    order_id BIGINT PRIMARY KEY,
    buyer    BIGINT NOT NULL,
    state    TEXT COLLATE "C" NOT NULL,
    remains  BIGINT NOT NULL,
    again    BIGINT NOT NULL CHECK (again IN (0, 1)),
    owed     BIGINT NOT NULL CHECK (owed IN (0, 1))
);
CREATE INDEX order_sums_lost ON order_sums (remains) WHERE remains < 0;
CREATE INDEX order_sums_again ON order_sums (order_id) WHERE again = 1;
CREATE INDEX order_sums_owed ON order_sums (order_id) WHERE owed = 1;

-- What was earned and what it cost by edition, outlet and state in a month, and by buyer in a year and in all (''): sums of earned_sums, part by
-- part. prints are the order lines that were sold, each once; remains is the sum of the parts.
CREATE TABLE lot_sums (
    lot             TEXT COLLATE "C" NOT NULL CHECK (lot IN ('edition', 'outlet', 'state', 'buyer')),
    period          TEXT COLLATE "C" NOT NULL,
    id              BIGINT NOT NULL,
    text            TEXT COLLATE "C" NOT NULL,
    currency        TEXT COLLATE "C" NOT NULL,
    prints          BIGINT NOT NULL,
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
    PRIMARY KEY (lot, period, id, text, currency)
);

INSERT INTO order_sums
    SELECT o.id, o.buyer, CASE WHEN o.ship_country = '' OR o.ship_region = '' THEN o.ship_country ELSE o.ship_country || ' ' || o.ship_region END,
        CAST(coalesce(s.remains, 0) AS BIGINT), coalesce(s.again, 0), CASE WHEN w.id IS NULL THEN 0 ELSE 1 END
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
        CAST(sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs) AS BIGINT),
        CAST(sum(s.price) AS BIGINT), CAST(sum(s.postage_charged) AS BIGINT), CAST(sum(s.other_income) AS BIGINT),
        CAST(sum(s.came_back) AS BIGINT), CAST(sum(s.paid_back) AS BIGINT), CAST(sum(s.sheets) AS BIGINT), CAST(sum(s.reprints) AS BIGINT),
        CAST(sum(s.packaging) AS BIGINT), CAST(sum(s.postage) AS BIGINT), CAST(sum(s.outlet_fees) AS BIGINT), CAST(sum(s.payment_fees) AS BIGINT),
        CAST(sum(s.gallery_shares) AS BIGINT), CAST(sum(s.fair_costs) AS BIGINT), CAST(sum(s.cash_box) AS BIGINT), CAST(sum(s.claims) AS BIGINT),
        CAST(sum(s.minutes) AS BIGINT), CAST(sum(s.other_costs) AS BIGINT)
    FROM earned_sums s GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'outlet', s.month, s.outlet, '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        CAST(sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs) AS BIGINT),
        CAST(sum(s.price) AS BIGINT), CAST(sum(s.postage_charged) AS BIGINT), CAST(sum(s.other_income) AS BIGINT),
        CAST(sum(s.came_back) AS BIGINT), CAST(sum(s.paid_back) AS BIGINT), CAST(sum(s.sheets) AS BIGINT), CAST(sum(s.reprints) AS BIGINT),
        CAST(sum(s.packaging) AS BIGINT), CAST(sum(s.postage) AS BIGINT), CAST(sum(s.outlet_fees) AS BIGINT), CAST(sum(s.payment_fees) AS BIGINT),
        CAST(sum(s.gallery_shares) AS BIGINT), CAST(sum(s.fair_costs) AS BIGINT), CAST(sum(s.cash_box) AS BIGINT), CAST(sum(s.claims) AS BIGINT),
        CAST(sum(s.minutes) AS BIGINT), CAST(sum(s.other_costs) AS BIGINT)
    FROM earned_sums s GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'state', s.month, 0, coalesce(k.state, ''), s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        CAST(sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs) AS BIGINT),
        CAST(sum(s.price) AS BIGINT), CAST(sum(s.postage_charged) AS BIGINT), CAST(sum(s.other_income) AS BIGINT),
        CAST(sum(s.came_back) AS BIGINT), CAST(sum(s.paid_back) AS BIGINT), CAST(sum(s.sheets) AS BIGINT), CAST(sum(s.reprints) AS BIGINT),
        CAST(sum(s.packaging) AS BIGINT), CAST(sum(s.postage) AS BIGINT), CAST(sum(s.outlet_fees) AS BIGINT), CAST(sum(s.payment_fees) AS BIGINT),
        CAST(sum(s.gallery_shares) AS BIGINT), CAST(sum(s.fair_costs) AS BIGINT), CAST(sum(s.cash_box) AS BIGINT), CAST(sum(s.claims) AS BIGINT),
        CAST(sum(s.minutes) AS BIGINT), CAST(sum(s.other_costs) AS BIGINT)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'buyer', substr(s.month, 1, 4), coalesce(k.buyer, 0), '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        CAST(sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs) AS BIGINT),
        CAST(sum(s.price) AS BIGINT), CAST(sum(s.postage_charged) AS BIGINT), CAST(sum(s.other_income) AS BIGINT),
        CAST(sum(s.came_back) AS BIGINT), CAST(sum(s.paid_back) AS BIGINT), CAST(sum(s.sheets) AS BIGINT), CAST(sum(s.reprints) AS BIGINT),
        CAST(sum(s.packaging) AS BIGINT), CAST(sum(s.postage) AS BIGINT), CAST(sum(s.outlet_fees) AS BIGINT), CAST(sum(s.payment_fees) AS BIGINT),
        CAST(sum(s.gallery_shares) AS BIGINT), CAST(sum(s.fair_costs) AS BIGINT), CAST(sum(s.cash_box) AS BIGINT), CAST(sum(s.claims) AS BIGINT),
        CAST(sum(s.minutes) AS BIGINT), CAST(sum(s.other_costs) AS BIGINT)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;
INSERT INTO lot_sums
    SELECT 'buyer', '', coalesce(k.buyer, 0), '', s.currency, count(DISTINCT CASE WHEN s.sold = 1 AND s.line <> 0 THEN s.line END),
        CAST(sum(s.price + s.postage_charged + s.other_income + s.came_back + s.paid_back + s.sheets + s.reprints + s.packaging + s.postage +
            s.outlet_fees + s.payment_fees + s.gallery_shares + s.fair_costs + s.cash_box + s.claims + s.minutes + s.other_costs) AS BIGINT),
        CAST(sum(s.price) AS BIGINT), CAST(sum(s.postage_charged) AS BIGINT), CAST(sum(s.other_income) AS BIGINT),
        CAST(sum(s.came_back) AS BIGINT), CAST(sum(s.paid_back) AS BIGINT), CAST(sum(s.sheets) AS BIGINT), CAST(sum(s.reprints) AS BIGINT),
        CAST(sum(s.packaging) AS BIGINT), CAST(sum(s.postage) AS BIGINT), CAST(sum(s.outlet_fees) AS BIGINT), CAST(sum(s.payment_fees) AS BIGINT),
        CAST(sum(s.gallery_shares) AS BIGINT), CAST(sum(s.fair_costs) AS BIGINT), CAST(sum(s.cash_box) AS BIGINT), CAST(sum(s.claims) AS BIGINT),
        CAST(sum(s.minutes) AS BIGINT), CAST(sum(s.other_costs) AS BIGINT)
    FROM earned_sums s LEFT JOIN order_sums k ON k.order_id = s.order_id GROUP BY 2, 3, 4, 5;

-- A row of the figures is opened to its orders.
CREATE INDEX earned_sums_edition ON earned_sums (edition) WHERE edition <> 0;
