-- +goose Up

-- The smallest difference that a seat race has to show was named otherwise.
UPDATE seat_races SET terms = json_remove(json_set(terms, '$.smallest_w', json_extract(terms, '$.tell_w')), '$.tell_w')
WHERE json_extract(terms, '$.tell_w') IS NOT NULL;
