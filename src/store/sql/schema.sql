-- What makes a notebook's tables, indexes and triggers, to be compared with what a released version made. Nothing is
-- left out by its name: the two tables of ANALYZE are passed over only where they are exactly those tables.

-- name: schema_rows
-- Every object by name and type, with all that it is.
SELECT name, type, tbl_name, coalesce(rootpage, 0) <> 0, sql
FROM sqlite_schema
WHERE NOT (type = 'table' AND name = tbl_name AND coalesce(rootpage, 0) <> 0 AND coalesce(sql, '') IN
           ('CREATE TABLE sqlite_stat1(tbl,idx,stat)', 'CREATE TABLE sqlite_stat4(tbl,idx,neq,nlt,ndlt,sample)'))
ORDER BY name, type, tbl_name, sql;
