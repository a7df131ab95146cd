#!/bin/bash
# completion.sh COMPLETION [ROUNDS] - hostile names, completed at any place and in any quotes: nothing in them runs, and
# what is inserted is the name again when bash reads the line.
set -u
# shellcheck disable=SC1090 # made by the build
source "$1"
rounds=${2:-300}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
RANDOM=20260601 # the same names every time
shopt -u histexpand 2>/dev/null

# A program that lists the names.
cat >curetrace <<'END'
#!/bin/bash
cat -- "$NAMES"
END
chmod +x curetrace
export NAMES=$work/names PATH=$work:$PATH HOME=$work

# shellcheck disable=SC2016 # they are not to expand
pieces=('$(touch RAN)' '`touch RAN`' '${IFS}' "'" '"' "\\" ' ' ';touch RAN;' '&' '|' '<' '>' '*' '?' '[a]' '{a,b}' '~' '#' '!'
    ':' '=' '@' '%s' '%n' 'W' '07' 'é' '柚' '$HOME' '$((7*7))' '-' ',' '^' '(' ')' '\n' '$' 'RAN')

# A name of up to five pieces that may begin one (no dash, no blank at an end).
make_name() {
    local count=$((1 + RANDOM % 5))
    name=N
    while [ $((count--)) -gt 0 ]; do
        name+=${pieces[RANDOM % ${#pieces[@]}]}
    done
    name+=z
}

# The beginning of a name as a person may type it: bare, in single or in double quotes.
type_beginning() {
    local length=$((RANDOM % (${#name} + 1))) beginning
    beginning=${name:0:length}
    case $((RANDOM % 3)) in
    0)
        printf -v line %q "$beginning"
        [ "$length" -gt 0 ] || line=
        open=
        ;;
    1)
        line="'${beginning//\'/\'\\\'\'}"
        open=\'
        ;;
    *)
        line=${beginning//\\/\\\\}
        line=${line//\"/\\\"}
        line=${line//\$/\\\$}
        line="\"${line//\`/\\\`}"
        open=\"
        ;;
    esac
}

done=0
for ((round = 0; round < rounds; round++)); do
    : >"$NAMES"
    names=()
    for _ in 1 2 3; do
        make_name
        names+=("$name")
        printf '%s\n' "$name" >>"$NAMES"
    done
    type_beginning
    [[ $line != \$\'* ]] || continue # %q writes bytes that do not show so; nobody types that
    COMP_LINE="curetrace batch show $line"
    COMP_POINT=${#COMP_LINE}
    _curetrace
    _curetrace_split # sets typed and cut
    if [ -e RAN ]; then
        echo "something ran: $COMP_LINE"
        exit 1
    fi
    # what readline makes of the line: the reply in place of the part it replaces
    for reply in "${COMPREPLY[@]}"; do
        whole=
        for name in "${names[@]}"; do
            [ "${name:0:${#typed}}" = "$typed" ] || continue
            case $open in # what stands before the part that readline replaces
            '') [ "${cut:=0}" -eq 0 ] && before='' || printf -v before %q "${name:0:cut}" ;;
            \') before=${line%\'*}\' ;;
            *) before=\" ;;
            esac
            eval "set -- $before$reply$open"
            [ "$*" != "$name" ] || [ $# -ne 1 ] || whole=yes
        done
        if [ -e RAN ] || [ -z "$whole" ]; then
            printf '%s\n' "$COMP_LINE: offered $reply, which is none of:" "${names[@]}"
            exit 1
        fi
        done=$((done + 1))
    done
done
echo "executions: $rounds, names completed: $done"
[ "$done" -gt 0 ]
