-- +goose Up
-- What the artist's scale said of a parcel, and what was planned for it: its wrap, what the wrap weighed by itself when it was packed, and
-- the mass of the whole without any margin; 0 of parcels packed before these were kept.
ALTER TABLE parcels ADD COLUMN wrap TEXT NOT NULL DEFAULT '';
ALTER TABLE parcels ADD COLUMN wrap_mass INTEGER NOT NULL DEFAULT 0 CHECK (wrap_mass >= 0);
ALTER TABLE parcels ADD COLUMN bare_mass INTEGER NOT NULL DEFAULT 0 CHECK (bare_mass >= 0);
ALTER TABLE parcels ADD COLUMN weighed INTEGER NOT NULL DEFAULT 0 CHECK (weighed >= 0);
CREATE INDEX parcels_wrap ON parcels (wrap, id, wrap_mass);
CREATE INDEX parcels_weighed ON parcels (wrap, id) WHERE weighed > 0;
