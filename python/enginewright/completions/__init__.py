"""Completion scripts for the shells: after `enginewright ch<TAB>` stands `check`.

Copy the one for your shell to where it looks, for example

    bash   ~/.local/share/bash-completion/completions/enginewright   from enginewright.bash
    zsh    a folder of $fpath, as _enginewright                      from _enginewright
    fish   ~/.config/fish/completions/enginewright.fish              from enginewright.fish

They are made from the command's own words with `python -m enginewright.completions` (which needs
shtab, a tool of development) and shipped as they are.
"""

__all__ = ["FILES"]

#: Shell and file name of each script.
FILES = {"bash": "enginewright.bash", "zsh": "_enginewright", "fish": "enginewright.fish"}
