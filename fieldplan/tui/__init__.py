"""The full-screen face. It lays out answers that the planner gives; nothing here computes a photographic number.

How it is made
--------------
A page is a pure drawing: state in, rows of (text, role) out, in terminal cells. ``Sheet`` (sheet.py) is the one widget; it
shows such rows by the line API and repaints only the rows that changed. Roles become colours in skins.py, and nowhere
else. Text that a person typed goes through ``rows.safe`` and is never markup.

How to make a page
------------------
1. Subclass ``Page`` (page.py): set ``number``, ``title``, ``commands`` (a tuple of ``Command``) and write
   ``draw(width, height) -> Picture``. The size is that of the body: 80 x 21 at 80x24.
2. For each command write ``do_<id>(self)``. A handler changes state on the desk or on the page and returns; the app draws
   again after every key.
3. Build forms with ``Form`` (form.py) on any record: give it a ``Source`` (``desk.shot_source()`` is one), call
   ``form.rows(width, height, columns)`` in ``draw`` and put ``FORM_COMMANDS`` in ``commands``. Set ``self.form`` and the
   page hands it the form's own commands, and every key while a field is open.
4. Add the page to ``PAGES`` in pages/__init__.py. Its digit, its place in the header and its part of the key screen follow.

Files: launch.py (start and end), app.py (the shell), commands.py (the registry of keys), desk.py (plan, profile, answers, undo;
no toolkit), page.py, sheet.py, form.py, editor.py (text of an open field), rows.py (layout in cells), skins.py, filters.py,
pages/ (one module a page, drawings beside it).
"""
