-- +goose Up

-- Values to calculate with until somebody has measured the setting. They are no
-- part of the rig: nothing is told to be moved from them.
CREATE TABLE seat_starts (
    boat_id INTEGER NOT NULL,
    seat INTEGER NOT NULL,
    setting TEXT NOT NULL,
    value REAL NOT NULL,
    PRIMARY KEY (boat_id, seat, setting),
    FOREIGN KEY (boat_id, seat) REFERENCES seats ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- The value that a sheet stood on where nobody had measured.
ALTER TABLE sheet_lines ADD COLUMN stands_on REAL;
