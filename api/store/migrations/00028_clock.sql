-- +goose Up

-- The latest moment that the clock has shown, to about a minute: what had ended by
-- then stays ended where the clock goes back.
CREATE TABLE clock (
	id     INTEGER PRIMARY KEY CHECK (id = 1),
	latest TEXT NOT NULL
) STRICT;

-- How often a password was set. A session that began under another one has ended,
-- whatever the clock says of when.
ALTER TABLE accounts ADD COLUMN password_number INTEGER NOT NULL DEFAULT 1;

-- The order in which tasks were done.
ALTER TABLE tasks ADD COLUMN done_number INTEGER;
UPDATE tasks SET done_number = (SELECT count(*) FROM tasks AS other
	WHERE other.done_at < tasks.done_at OR other.done_at = tasks.done_at AND other.id <= tasks.id)
WHERE done_at IS NOT NULL;
CREATE INDEX tasks_by_done ON tasks (done_number);
