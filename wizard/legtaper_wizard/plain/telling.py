"""Notes and answers as lines."""

from __future__ import annotations

from legtaper.project import Project
from legtaper_wizard.plain.voice import Voice
from legtaper_wizard.steps import STEPS, Note, summary

MARKS = {
    "number": "", "info": "", "good": "[ok] ", "caution": "[care] ", "fail": "[FAIL] ",
    "question": "[?] ",
}  # fmt: skip
"""Text before a note, so that nothing rests on color."""


def say_note(voice: Voice, note: Note) -> None:
    """Say one note behind its mark."""
    voice.say(MARKS[note.kind] + note.text, indent="  ")


def say_answers(voice: Voice, project: Project) -> None:
    """Say everything that is answered, step by step."""
    titles = {step.id: step.title for step in STEPS}
    heading = ""
    for line in summary(project):
        if titles[line.step_id] != heading:
            heading = titles[line.step_id]
            voice.say(heading)
        voice.say(f"  {line.label}: {line.value}", indent="    ")
