# completion.bash - what bash offers while a command line is typed: commands, options and the names of things.
# The build puts the tables of commands and names in front of it (write_completion.c).
#
# shellcheck disable=SC2154 # the tables are set in front of it
#
# Rules
# (1) What comes from a notebook or a folder is data: it is compared and handed over in arrays, never in a
#     string that bash would expand, as compgen -W does.
# (2) What is inserted is quoted the way the word on the line is: readline's own quoting leaves a $ as it is.

# The line as the program would get it: `words` before the cursor without their quotes, and of the last of them,
# `typed`, the `quote` that is open and how many characters (`cut`) stand before the part that readline replaces.
_curetrace_split() {
    local line=${COMP_LINE:0:COMP_POINT} begun='' character i
    words=() typed='' quote='' cut=0
    for ((i = 0; i < ${#line}; i++)); do
        character=${line:i:1}
        if [ -z "$quote" ] && [[ $character == [[:blank:]] ]]; then
            [ -z "$begun" ] || words+=("$typed")
            typed='' begun='' cut=0
            continue
        fi
        begun=yes
        if [[ $character == "$quote" ]]; then
            quote=''
        elif [ -z "$quote" ] && [[ $character == [\'\"] ]]; then
            quote=$character
            cut=${#typed} # readline replaces what follows an open quote
        elif [[ $character == \\ && $quote != \' ]]; then
            i=$((i + 1))
            typed+=${line:i:1}
        else
            typed+=$character
            [ -n "$quote" ] || [[ $COMP_WORDBREAKS != *"$character"* ]] || cut=${#typed}
        fi
    done
    words+=("$typed")
}

# A word as it is to stand on the line (rule 2); readline closes an open quote by itself.
_curetrace_quoted() {
    case $quote in
    '') printf -v quoted %q "$1" ;;
    \') quoted=${1//\'/\'\\\'\'} ;;
    *)
        quoted=${1//\\/\\\\}
        quoted=${quoted//\"/\\\"}
        quoted=${quoted//\$/\\\$}
        quoted=${quoted//\`/\\\`}
        ;;
    esac
}

# Offer those of the words that begin as the current one.
_curetrace_offer() {
    local word quoted
    for word in "$@"; do
        [ "${word:0:${#typed}}" = "$typed" ] || continue
        _curetrace_quoted "${word:cut}"
        COMPREPLY+=("$quoted")
    done
}

# The same for words behind which more is typed, as in NAME=GRAMS.
_curetrace_offer_beginnings() {
    compopt -o nospace 2>/dev/null
    _curetrace_offer "$@"
}

# Names of the step files: the maker's own and those that came with the program.
_curetrace_offer_procedures() {
    local folder file names=()
    for folder in "${XDG_CONFIG_HOME:-$HOME/.config}/curetrace/procedures" \
        "${program%/*}/procedures" "${program%/*}/../share/curetrace/procedures"; do
        for file in "$folder"/*.ini; do
            file=${file##*/}
            [ ! -f "$folder/$file" ] || [[ $file == *[[:cntrl:]]* ]] || names+=("${file%.ini}")
        done
    done
    _curetrace_offer "${names[@]}"
}

# What a command of the program lists, one name a line, from the notebook that the line names.
_curetrace_offer_listed() {
    local listed=() notebook=() i
    for ((i = 1; i < ${#words[@]} - 1; i++)); do
        [ "${words[i]}" != --notebook ] || notebook=(--notebook "${words[i + 1]/#\~\//$HOME/}")
    done
    mapfile -t listed < <("$program" "$@" "${notebook[@]}" 2>/dev/null)
    _curetrace_offer "${listed[@]}"
}

_curetrace_offer_value() {
    case $1 in
    --procedure) _curetrace_offer_procedures ;;
    --reference) _curetrace_offer_listed batch list --codes ;;
    --meter | --paper | --balance | --thermometer) _curetrace_offer_listed gear list --names ;;
    --buffer) _curetrace_offer_beginnings "${_curetrace_buffers[@]}" ;;
    --fat) _curetrace_offer_beginnings "${_curetrace_fats[@]}" ;;
    --kind) _curetrace_offer "${_curetrace_kinds[@]}" ;;
    --role) _curetrace_offer "${_curetrace_roles[@]}" ;;
    esac
}

_curetrace() {
    local words typed quote cut program name options files values names previous first second
    local firsts=() seconds=() found='' count
    COMPREPLY=()
    _curetrace_split
    count=${#words[@]} previous=${words[-2]} first=${words[1]} second=${words[2]-}
    program=$(type -P -- "${words[0]/#\~/$HOME}") || return
    while IFS='|' read -r name options files values names; do
        firsts+=("${name%% *}")
        [[ $name != "$first "* ]] || seconds+=("${name#* }")
        if [ "$name" = "$first" ] || [ "$name" = "$first $second" ]; then
            found=yes
            break
        fi
    done <<<"$_curetrace_table"
    if [ "$count" -eq 2 ]; then
        _curetrace_offer "${firsts[@]}" --help --version
    elif [ "$count" -eq 3 ] && [ "${#seconds[@]}" -gt 0 ]; then
        _curetrace_offer "${seconds[@]}"
    elif [ -z "$found" ] || [[ " $files " == *" $previous "* ]]; then
        return # names of files
    elif [[ " $values " == *" $previous "* ]]; then
        _curetrace_offer_value "$previous"
    elif [[ $typed == -* ]]; then
        read -r -a options <<<"$options"
        _curetrace_offer "${options[@]}"
    elif [ "$names" = codes ]; then
        _curetrace_offer_listed batch list --codes
    elif [ "$names" = gear ]; then
        _curetrace_offer_listed gear list --names
    fi
}

complete -o default -F _curetrace curetrace
