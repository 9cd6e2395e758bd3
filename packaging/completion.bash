# Completion of amphora in bash: commands and options as the program itself lists them.
_amphora() {
    local word=${COMP_WORDS[COMP_CWORD]} offered
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        offered=$(amphora --help 2>/dev/null | sed -n '/^Commands:/,$s/^  \([a-z][a-z-]*\) .*/\1/p')
    elif [[ $word == -* ]]; then
        offered=$(amphora "${COMP_WORDS[1]}" --help 2>/dev/null | grep -o -- '--[a-z][a-z-]*')
    else
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
        return
    fi
    mapfile -t COMPREPLY < <(compgen -W "$offered --help" -- "$word")
}
complete -o filenames -F _amphora amphora
