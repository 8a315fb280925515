-- +goose Up

-- How people have units and words on their pages: an account's own choice, and that
-- of the club for everybody without one, which has no account. It goes with the account.
CREATE TABLE usages (
    id INTEGER PRIMARY KEY,
    account_id INTEGER REFERENCES accounts ON DELETE CASCADE,
    body_lengths TEXT NOT NULL CONSTRAINT body_lengths_have_a_unit CHECK (body_lengths IN ('cm', 'ft_in')),
    rig_lengths TEXT NOT NULL CONSTRAINT rig_lengths_have_a_unit CHECK (rig_lengths IN ('cm', 'mm', 'in', 'in_fractions')),
    masses TEXT NOT NULL CONSTRAINT masses_have_a_unit CHECK (masses IN ('kg', 'lb')),
    sides TEXT NOT NULL CONSTRAINT sides_have_words CHECK (sides IN ('port_starboard', 'stroke_bow')),
    days TEXT NOT NULL CONSTRAINT days_have_an_order CHECK (days IN ('dmy', 'mdy', 'ymd')),
    decimals TEXT NOT NULL CONSTRAINT decimals_have_a_sign CHECK (decimals IN ('point', 'comma'))
) STRICT;

CREATE UNIQUE INDEX usages_of_accounts ON usages (ifnull(account_id, 0));
