-- +goose Up

-- A name has a given and a family part, so that lists can call people in short
-- and a name written "Surname, First" is the same one as "First Surname".
ALTER TABLE athletes ADD COLUMN given_name TEXT NOT NULL DEFAULT '';
ALTER TABLE athletes ADD COLUMN family_name TEXT NOT NULL DEFAULT '';

-- "Surname, First": one comma, something on both sides, and no "Smith, Jr."
UPDATE athletes SET
    family_name = trim(substr(name, 1, instr(name, ',') - 1)),
    given_name = trim(substr(name, instr(name, ',') + 1))
WHERE length(name) - length(replace(name, ',', '')) = 1
    AND trim(substr(name, 1, instr(name, ',') - 1)) <> '' AND trim(substr(name, instr(name, ',') + 1)) <> ''
    AND lower(trim(substr(name, instr(name, ',') + 1), ' .')) NOT IN ('jr', 'sr', 'ii', 'iii', 'iv');

-- "First Surname": the last word. A name with brackets or commas is left whole,
-- and so is one word.
UPDATE athletes SET given_name = trim(name) WHERE given_name = '';
UPDATE athletes SET
    family_name = replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), ''),
    given_name = trim(rtrim(given_name, replace(given_name, ' ', '')))
WHERE family_name = '' AND instr(given_name, ' ') > 0 AND instr(name, ',') = 0 AND instr(name, '(') = 0;

-- "John Smith Jr."
UPDATE athletes SET
    family_name = replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), '') || ' ' || family_name,
    given_name = trim(rtrim(given_name, replace(given_name, ' ', '')))
WHERE lower(trim(family_name, '.')) IN ('jr', 'sr', 'ii', 'iii', 'iv') AND instr(given_name, ' ') > 0 AND instr(name, ',') = 0;

-- "Jan van der Berg": words in lower case before the last one belong to it,
-- three at most.
UPDATE athletes SET
    family_name = replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), '') || ' ' || family_name,
    given_name = trim(rtrim(given_name, replace(given_name, ' ', '')))
WHERE instr(name, ',') = 0 AND instr(given_name, ' ') > 0 AND substr(family_name, 1, 1) NOT GLOB '[a-z]'
    AND substr(replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), ''), 1, 1) GLOB '[a-z]';
UPDATE athletes SET
    family_name = replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), '') || ' ' || family_name,
    given_name = trim(rtrim(given_name, replace(given_name, ' ', '')))
WHERE instr(name, ',') = 0 AND instr(given_name, ' ') > 0 AND instr(family_name, ' ') > 0 AND substr(family_name, 1, 1) GLOB '[a-z]'
    AND substr(replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), ''), 1, 1) GLOB '[a-z]';
UPDATE athletes SET
    family_name = replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), '') || ' ' || family_name,
    given_name = trim(rtrim(given_name, replace(given_name, ' ', '')))
WHERE instr(name, ',') = 0 AND instr(given_name, ' ') > 0 AND instr(family_name, ' ') > 0 AND substr(family_name, 1, 1) GLOB '[a-z]'
    AND substr(replace(given_name, rtrim(given_name, replace(given_name, ' ', '')), ''), 1, 1) GLOB '[a-z]';

-- The whole name is the given part, then the family part. Where somebody else of
-- the same birth date has that name already, it stays as it was written.
UPDATE OR IGNORE athletes SET
    name = given_name || ' ' || family_name,
    name_key = trim(substr(name_key, instr(name_key, ',') + 1)) || ' ' || trim(substr(name_key, 1, instr(name_key, ',') - 1))
WHERE family_name <> '' AND instr(name, ',') > 0 AND instr(name_key, ',') > 0;
UPDATE athletes SET name = trim(given_name || ' ' || family_name) WHERE instr(name, ',') = 0;
