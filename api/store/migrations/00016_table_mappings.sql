-- +goose Up

-- How a club's own tables are read, by the headings of their columns.
CREATE TABLE table_mappings (
    kind TEXT NOT NULL CONSTRAINT mapping_has_a_kind CHECK (kind <> ''),
    name TEXT NOT NULL CONSTRAINT mapping_has_a_name CHECK (name <> ''),
    mapping TEXT NOT NULL CONSTRAINT mapping_is_json CHECK (json_valid(mapping)),
    saved_at TEXT NOT NULL,
    PRIMARY KEY (kind, name)
) STRICT, WITHOUT ROWID;
