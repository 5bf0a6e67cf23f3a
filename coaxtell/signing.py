"""Signing and checking certificates with a lead's key (Ed25519, RFC 8032), by the `cryptography` library."""

from __future__ import annotations

import os
from pathlib import Path

from coaxtell import files
from coaxtell.models.errors import InputError
from coaxtell.quiz.certificate import Certificate, Statement, signed_text


def new_key(path: Path) -> str:
    """Make a private key in a file that only its owner may read; returns the public key in hexadecimal.

    Raises InputError where the file is there already or cannot be written.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.generate()
    text = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )  # fmt: skip
    try:
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as new:
            new.write(text)
    except FileExistsError:
        raise InputError(f"{path}: is there already; a key is never written over. Name another file.") from None
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error.strerror}); choose another place.") from None
    return key.public_key().public_bytes_raw().hex()


def sign(statement: Statement, by: str, path: Path) -> Certificate:
    """The statement signed with the key in a file; raises InputError where that holds no such key."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    text = files.read_text(path)
    try:
        key = load_pem_private_key(text.encode(), None)
    except (ValueError, TypeError):
        key = None
    if not isinstance(key, Ed25519PrivateKey):
        raise InputError(f"{path}: holds no key of a lead; `coaxtell certificate --new-key FILE` makes one.")
    signature = key.sign(signed_text(statement, by)).hex()
    return Certificate(statement, by, key.public_key().public_bytes_raw().hex(), signature)


def holds(found: Certificate, key: str | None = None) -> bool:
    """True where the signature is that of the certificate's key, and that key the one named where one is."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if key is not None and key.lower() != found.key:
        return False
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(found.key)).verify(bytes.fromhex(found.signature), found.text)
    except (InvalidSignature, ValueError):
        return False
    return True
