"""A stand-in for an identity provider: OpenID Connect's code flow over plain http, with invented people.

Discovery, authorization, token and keys as OpenID Connect Core 1.0 (3.1.2, 3.1.3) and Discovery 1.0 (3) have
them, PKCE as RFC 7636. Nobody types a password: whoever comes presses a name, or refuses.
"""

from __future__ import annotations

import base64
import hashlib
import json
import secrets
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qsl, urlencode, urlsplit

from joserfc import jwt
from joserfc.jwk import RSAKey

CLIENT, SECRET = "mistcalc-test", "only-for-tests"
PEOPLE = {"p-1": "Ana Invented", "p-2": "Ben Invented"}


class IdentityProvider:
    """Answers on this computer until stopped."""

    def __init__(self) -> None:
        self.key = RSAKey.generate_key(2048, {"kid": "test", "use": "sig"})
        self.codes: dict[str, dict[str, str]] = {}
        provider = self

        class Answers(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                asked = urlsplit(self.path)
                provider.get(self, asked.path, dict(parse_qsl(asked.query)))

            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"])).decode()
                provider.token(self, dict(parse_qsl(body)))

            def log_message(self, *_: object) -> None:
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    @property
    def issuer(self) -> str:
        return f"http://127.0.0.1:{self.server.server_port}"

    def stop(self) -> None:
        self.server.shutdown()
        self.server.server_close()

    def get(self, to: BaseHTTPRequestHandler, path: str, asked: dict[str, str]) -> None:
        if path == "/.well-known/openid-configuration":
            told = {
                "issuer": self.issuer,
                "authorization_endpoint": f"{self.issuer}/authorize",
                "token_endpoint": f"{self.issuer}/token",
                "jwks_uri": f"{self.issuer}/keys",
                "response_types_supported": ["code"],
                "subject_types_supported": ["public"],
                "id_token_signing_alg_values_supported": ["RS256"],
                "code_challenge_methods_supported": ["S256"],
            }
            _json(to, told)
        elif path == "/keys":
            _json(to, {"keys": [self.key.as_dict(private=False)]})
        elif path == "/authorize" and "who" not in asked:
            assert asked["client_id"] == CLIENT and asked["code_challenge_method"] == "S256"
            people = [*PEOPLE.items(), ("nobody", "Refuse")]
            ways = ((urlencode({**asked, "who": who}), name) for who, name in people)
            links = (f'<p><a href="?{way}">{name}</a></p>' for way, name in ways)
            _send(to, 200, "text/html", "".join(links).encode())
        elif path == "/authorize":
            back = {"error": "access_denied"} if asked["who"] == "nobody" else {"code": secrets.token_hex(8)}
            if "code" in back:
                self.codes[back["code"]] = asked
            _redirect(to, f"{asked['redirect_uri']}?{urlencode({**back, 'state': asked['state']})}")
        else:
            _send(to, 404, "text/plain", b"")

    def token(self, to: BaseHTTPRequestHandler, sent: dict[str, str]) -> None:
        told = base64.b64decode(to.headers["Authorization"].removeprefix("Basic ")).decode()
        asked = self.codes.pop(sent["code"])
        digest = base64.urlsafe_b64encode(hashlib.sha256(sent["code_verifier"].encode()).digest())
        assert told == f"{CLIENT}:{SECRET}"
        assert digest.decode().rstrip("=") == asked["code_challenge"]
        now = int(time.time())
        claims = {
            "iss": self.issuer, "sub": asked["who"], "aud": CLIENT, "iat": now, "exp": now + 300,
            "nonce": asked["nonce"], "name": PEOPLE[asked["who"]],
        }  # fmt: skip
        signed = jwt.encode({"alg": "RS256", "kid": "test"}, claims, self.key)
        _json(to, {"access_token": secrets.token_hex(8), "token_type": "Bearer", "id_token": signed})


def _json(to: BaseHTTPRequestHandler, told: dict[str, Any]) -> None:
    _send(to, 200, "application/json", json.dumps(told).encode())


def _send(to: BaseHTTPRequestHandler, status: int, kind: str, body: bytes) -> None:
    to.send_response(status)
    to.send_header("Content-Type", kind)
    to.send_header("Content-Length", str(len(body)))
    to.end_headers()
    to.wfile.write(body)


def _redirect(to: BaseHTTPRequestHandler, address: str) -> None:
    to.send_response(302)
    to.send_header("Location", address)
    to.send_header("Content-Length", "0")
    to.end_headers()
