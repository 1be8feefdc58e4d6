"""Typed forms over the current state: fields, live effect, kept or dropped.

A form is a screen above the others. On top stands the verdict, under it "then: ...", what the
plan would become; then the fields, each with its label and its text or choice; at the bottom
one sentence of help for the field that has the focus. What is wrong with a field is said under
it, once the maker has left it or wants to keep. Nothing typed is lost: a form with something
wrong stays open, and stays as it is when the files change beneath it.

Its owner writes a ``Questions`` (``questions.py``) and opens it::

    class Rename(Questions):
        title = "The name of the ensemble"

        def fields(self, texts):
            return (Field(key="name", label="Name", help="As it is to be shown.", value="..."),)

        def read(self, texts):
            if not texts["name"].strip():
                return Reading(wrong=(Wrong(key="name", text="It needs a name."),))
            name = texts["name"]
            return Reading(
                label="ensemble renamed",
                change=lambda project: with_name(project, name),  # pure, by ids
            )

    app.push_screen(Form(Rename(state)))

- A ``Field`` with ``options`` is a choice (left and right, letters, a click); ``flag`` is one of
  yes and no; without options it is typed. ``further=True`` hides it until it is asked for.
  ``found`` (or a choice's options) can be looked up with ^f.
- ``fields(texts)`` may depend on what is typed: fields come and go while the others keep what
  was typed in them.
- ``read`` gives a ``Reading``: the edit (tried by ``app.preview`` at once, kept by
  ``app.edit``), or what is ``wrong`` by the key of its field, and what can be ``told`` at once.
- ``beside`` gives lines for a region beside the fields: steps, hours, cloth.
- References that lead nowhere are found by the form itself (``checked.py``): it lays the ground
  of the project as it would become, and says at the field what that finds.
"""
