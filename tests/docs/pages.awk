# pages.awk - one page for pages.sh, whose rules it follows. Run in the page's kitchen.
# check prints what differs, renew the whole page. Ends with 1 when something differs (check).

function emit(text) { if (mode == "renew") print text }

# Does the text got[from..] begin with want[first..last]?
function here(from, first, last,   i) {
    for (i = first; i <= last; i++)
        if (from + i - first > got_count || got[from + i - first] != want[i]) return 0
    return 1
}

# Rule 2: the pieces between "..." must be found in their order, the first at the start, the last at the end.
function fits(   first, last, from, open) {
    from = 1; open = 0; first = 1
    while (first <= want_count + 1) {
        last = first
        while (last <= want_count && want[last] != "...") last++
        # the piece is want[first .. last - 1]
        if (last > want_count && open && got_count - (last - first) + 1 >= from)
            from = got_count - (last - first) + 1
        while (open && from <= got_count && !here(from, first, last - 1)) from++
        if (!here(from, first, last - 1)) return 0
        from += last - first
        if (last > want_count) return from == got_count + 1
        open = 1; first = last + 1
    }
    return 1
}

function run_command(   script, line) {
    script = home "/.command"
    print command > script
    close(script)
    system("sh " script " >" home "/.output 2>&1 </dev/null")
    got_count = 0
    while ((getline line < (home "/.output")) > 0) {
        while ((at = index(line, home)) > 0) # the page shows somebody's home
            line = substr(line, 1, at - 1) "/home/you" substr(line, at + length(home))
        sub(/[ \t]+$/, "", line)
        got[++got_count] = line
    }
    close(home "/.output")
    while (got_count > 0 && got[got_count] == "") got_count--
}

# With one "..." the new output keeps as many lines before and after it.
function renew_output(   i, dots, gaps) {
    for (i = 1; i <= want_count; i++)
        if (want[i] == "...") { dots = i; gaps++ }
    if (gaps > 1) {
        print name ":" command_line ": has several ... and must be renewed by hand" > "/dev/stderr"
        for (i = 1; i <= want_count; i++) print want[i]
    } else if (gaps == 1 && got_count > want_count - 1) {
        for (i = 1; i < dots; i++) print got[i]
        print "..."
        for (i = got_count - (want_count - dots) + 1; i <= got_count; i++) print got[i]
    } else {
        for (i = 1; i <= got_count; i++) print got[i]
    }
}

# A command and its output are complete.
function finish(   i) {
    if (command == "") return
    while (want_count > 0 && want[want_count] == "") { want_count--; blank = 1 }
    run_command()
    if (fits()) {
        for (i = 1; i <= want_count; i++) emit(want[i])
    } else if (mode == "renew") {
        renew_output()
    } else {
        print name ":" command_line ": " command
        print "  shown on the page:"
        for (i = 1; i <= want_count; i++) print "    " want[i]
        print "  printed now:"
        for (i = 1; i <= got_count; i++) print "    " got[i]
        different = 1
    }
    if (blank) emit("")
    command = ""; want_count = 0; blank = 0
}

/^```/ {
    if (block == "console") finish()
    if (block == "file") close(file)
    if (block != "") { block = ""; emit($0); next }
    block = "other"
    if ($1 == "```console") block = "console"
    if (NF == 2 && ($1 == "```answers" || $1 == "```ini" || $1 == "```csv")) { block = "file"; file = home "/" $2 }
    emit($0); next
}
block == "file" { print > file; emit($0); next }
block == "console" && goes_on { command = command "\n" $0; goes_on = /\\$/; emit($0); next }
block == "console" && /^\$ / {
    finish()
    command = substr($0, 3); command_line = FNR; goes_on = /\\$/
    emit($0); next
}
block == "console" { want[++want_count] = $0; next }
{ emit($0) }
END { if (different) exit 1 }
