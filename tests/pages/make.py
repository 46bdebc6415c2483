"""Makes the encrypted PDF files beside this file, with pypdf.

    python3 -m pip install "pypdf[crypto]==7.1.1"
    python3 make.py

`locked.pdf` can't be opened without a password; `restricted.pdf` opens without one and only forbids printing, so its
text is read like any other.
"""

import pathlib

from pypdf import PdfReader, PdfWriter

HERE = pathlib.Path(__file__).parent
SHEET = HERE.parent / "sheets" / "pdf" / "03-plain-paper.pdf"

for name, user in [("locked.pdf", "otter"), ("restricted.pdf", "")]:
    writer = PdfWriter()
    for page in PdfReader(SHEET).pages:
        writer.add_page(page)
    writer.encrypt(user_password=user, owner_password="mill", algorithm="AES-256")
    writer.write(HERE / name)
