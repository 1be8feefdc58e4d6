"""A form that says what is wrong with a field while it is typed, where its help stands."""

from __future__ import annotations

from screens.forms.form import Form


class TellingForm(Form):
    """What is wrong comes before how to write it; under the field it stands once it is left."""

    def _help(self) -> None:
        super()._help()
        row = self.here
        wrong = [one.text for one in self.reading.wrong if row and one.key == row.field.key]
        touched = row is not None and self.texts.get(row.field.key) != row.field.value
        telling = bool(wrong) and touched and not self.asking
        if telling:
            self.help_line.text = " ".join(wrong)
        self.help_line.set_class(telling, "-wrong")
