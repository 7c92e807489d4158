"""The full-screen face. It lays out answers that the planner gives; nothing here computes a photographic number.

How it is made
--------------
A page is a pure drawing: state in, rows of (text, role) out, in terminal cells. ``Sheet`` (sheet.py) is the one widget;
it shows such rows by the line API and repaints only the rows that changed. Roles become colours in skins.py, and
nowhere else. Text that a person typed goes through ``rows.safe`` and is never markup. All keys come to ``app.on_key``,
which hands them to the open field or looks up their command.

How to make a page
------------------
1. Subclass ``Page`` (page.py): set ``number``, ``title``, ``commands`` (a tuple of ``Command``) and write
   ``draw(width, height)``. The size is that of the body: 80 x 20 at 80x24. ``fitted`` (rows.py) ends most drawings.
2. For each command write ``do_<id>``. It changes state on the desk or on the page and returns; the app draws again
   after every key, and saves after it has drawn. ``self.message`` is a line for the person, gone with the next key.
3. Make forms with ``Form`` (form.py) on a ``RecordSource`` (source.py), which edits any record of the plan or the
   profile: ``Form(RecordSource(desk, desk.gear, lambda: [(("lens", 2), Lens)]))``. Set ``self.form``; call its
   ``rows(width, height, columns)`` and ``help_row(width)`` in ``draw``. The form's own keys then live on the page: left
   and right (or Tab) select a field, up and down step it, Enter opens it.
4. Lists are picked from by j and k, further lists by [ and ]. a adds, c copies, d deletes.
5. Changes that are no field go through ``desk.edit(document, lambda document: ...)``: undo and saving follow.
6. Add the page to pages/__init__.py: its digit, its place in the header and the key screen follow.

launch.py starts and ends it; desk.py holds plan, profile, answers and undo, and knows nothing of screens.
"""
