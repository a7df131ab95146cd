# completion.bash - what bash offers while a command line is typed: commands, options, procedures, batch codes.
# The build puts the table of commands in front of it (write_completion.c).

# Names of the step files: the maker's own and those that came with the program.
_curetrace_procedures() {
    local program folder file
    program=$(type -P -- "${COMP_WORDS[0]/#\~/$HOME}")
    for folder in "${XDG_CONFIG_HOME:-$HOME/.config}/curetrace/procedures" \
        "${program%/*}/procedures" "${program%/*}/../share/curetrace/procedures"; do
        for file in "$folder"/*.ini; do
            [ -f "$file" ] || continue
            file=${file##*/}
            echo "${file%.ini}"
        done
    done
}

_curetrace_codes() {
    "${COMP_WORDS[0]/#\~/$HOME}" batch list 2>/dev/null | awk 'NR > 1 { print $1 }'
}

# Offer those of the words that begin as the current one.
_curetrace_offer() {
    mapfile -t COMPREPLY < <(compgen -W "$1" -- "${COMP_WORDS[COMP_CWORD]}")
}

_curetrace() {
    local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD - 1]}
    local first=${COMP_WORDS[1]} second=${COMP_WORDS[2]-} name options files values codes
    local firsts= seconds= found=
    COMPREPLY=()
    while IFS='|' read -r name options files values codes; do
        firsts+=" ${name%% *}"
        [[ $name != "$first "* ]] || seconds+=" ${name#* }"
        if [ "$name" = "$first" ] || [ "$name" = "$first $second" ]; then
            found=yes
            break
        fi
    done <<<"$_curetrace_table"
    if [ "$COMP_CWORD" -eq 1 ]; then
        _curetrace_offer "$firsts --help --version"
    elif [ "$COMP_CWORD" -eq 2 ] && [ -n "$seconds" ]; then
        _curetrace_offer "$seconds"
    elif [ -z "$found" ] || [[ " $files " == *" $previous "* ]]; then
        return # names of files
    elif [[ " $values " == *" $previous "* ]]; then
        case $previous in
        --procedure) _curetrace_offer "$(_curetrace_procedures)" ;;
        --reference) _curetrace_offer "$(_curetrace_codes)" ;;
        --kind) _curetrace_offer "$_curetrace_kinds" ;;
        --role) _curetrace_offer "$_curetrace_roles" ;;
        esac
    elif [[ $current == -* ]]; then
        _curetrace_offer "$options"
    elif [ -n "$codes" ]; then
        _curetrace_offer "$(_curetrace_codes)"
    fi
}

complete -o default -F _curetrace curetrace
