"""Is a server's own certificate one that a client could believe today? Tried by a handshake with itself, in memory."""

from __future__ import annotations

import re
import ssl
import tempfile
from pathlib import Path

from latebreak.engine.errors import Fault

#: X509_V_ERR_CERT_NOT_YET_VALID and X509_V_ERR_CERT_HAS_EXPIRED of OpenSSL's x509_vfy.h (from memory; tested).
_WHEN = {9: "is not valid yet", 10: "is out of date"}
_CERTIFICATES = re.compile(rb"-----BEGIN CERTIFICATE-----.*?-----END CERTIFICATE-----", re.DOTALL)


def server_context(certificate: bytes, key: bytes) -> ssl.SSLContext:
    """Make the TLS context of a server.

    Raises
    ------
    OSError
        If they are no PEM, or don't fit together.
    """
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    with tempfile.TemporaryDirectory() as folder:  # the library reads files only
        chain_file, key_file = Path(folder, "chain.pem"), Path(folder, "key.pem")
        key_file.touch(0o600)
        chain_file.write_bytes(certificate)
        key_file.write_bytes(key)
        context.load_cert_chain(chain_file, key_file, password="")  # never asks on the terminal
    return context


def time_fault(certificate: bytes, key: bytes) -> Fault | None:
    """Return what is wrong with the time of a certificate; None where nothing is, or it can't be read at all."""
    trusting = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    trusting.check_hostname = False
    trusting.verify_flags |= ssl.VERIFY_X509_PARTIAL_CHAIN  # whoever signed it: it vouches for itself here
    try:
        server = server_context(certificate, key)
        trusting.load_verify_locations(cadata=b"\n".join(_CERTIFICATES.findall(certificate)).decode("ascii"))
    except (OSError, ValueError):
        return None  # said where it is listened
    forth, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    ends = [trusting.wrap_bio(back, forth), server.wrap_bio(forth, back, server_side=True)]
    for _ in range(4):  # messages back and forth
        for end in ends:
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLCertVerificationError as error:
                problem = _WHEN.get(error.verify_code)
                remedy = "get a new one, or set this machine's clock"
                if problem is None:
                    return None
                return Fault("tls-cert", f"the certificate {problem}", "one that is valid now", remedy)
            except ssl.SSLError:
                return None
    return None
