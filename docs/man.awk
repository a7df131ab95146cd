# man.awk - a page of docs/ as lowdown should read it for a manual page: -v name=curetrace-NAME.
# The title becomes NAME, headings move up by one, links keep their words, and a table of two columns becomes a
# list, which a terminal shows better.

function words(line,   at, text) {
    while (match(line, /\[[^]]*\]\([^)]*\)/)) {
        text = substr(line, RSTART + 1, RLENGTH - 1)
        text = substr(text, 1, index(text, "]") - 1)
        line = substr(line, 1, RSTART - 1) text substr(line, RSTART + RLENGTH)
    }
    while ((at = index(line, "\\|")) > 0)
        line = substr(line, 1, at - 1) "|" substr(line, at + 2)
    return line
}

# Flush the rows of a table that has ended.
function flush(   i, cells, columns) {
    columns = split(row[1], cells, / \| /)
    for (i = 1; i <= rows; i++) {
        if (columns != 2) { print words(row[i]); continue }
        if (i <= 2) continue # heading and rule
        sub(/^\| */, "", row[i]); sub(/ *\|$/, "", row[i])
        at = index(row[i], " | ")
        print words(substr(row[i], 1, at - 1)); print ": " words(substr(row[i], at + 3)); print ""
    }
    rows = 0
}

/^```/ { fenced = !fenced; print "```"; next }
fenced { print; next }
/^\|/ { row[++rows] = $0; next }
rows > 0 { flush() }
NR == 1 && /^# / { print "# NAME"; titled = 1; next }
titled && NF > 0 { print name " - " words($0); titled = 0; next }
/^## / { print "# " toupper(substr($0, 4)); next }
/^###/ { print substr($0, 2); next }
{ print words($0) }
END { if (rows > 0) flush() }
