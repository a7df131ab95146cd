-- What makes a notebook's tables, indexes and triggers, to be compared with what a released version made. Nothing is
-- left out by its name: the two tables of ANALYZE are passed over only where they are exactly those tables.

-- name: schema_rows
-- Every object by name and type, and all of it as one text in which no two schemas look alike.
SELECT name, type,
       hex(type) || ' ' || hex(name) || ' ' || hex(tbl_name) || ' ' || (coalesce(rootpage, 0) <> 0) || ' ' || hex(sql)
FROM sqlite_schema
WHERE NOT (type = 'table' AND name = tbl_name AND coalesce(rootpage, 0) <> 0 AND coalesce(sql, '') IN
           ('CREATE TABLE sqlite_stat1(tbl,idx,stat)', 'CREATE TABLE sqlite_stat4(tbl,idx,neq,nlt,ndlt,sample)'))
ORDER BY name, type, 3;
