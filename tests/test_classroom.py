"""What the class server refuses, asked for by real requests at the real server."""

import json
import re
import socket
import time
import uuid
from contextlib import suppress
from urllib.parse import quote

import psutil
import pytest
import websocket

from mosaiclib.classroom.gate import LENGTH, LETTERS, new_word
from mosaiclib.classroom.invitation import room_address, room_addresses
from mosaiclib.classroom.places import Places
from mosaiclib.errors import MosaicError
from mosaiclib.pages import LEARNERS, SHIPPED
from visiting import Visitor, hear, opened, say

START = "/voila/render/00_start_here.ipynb"


@pytest.fixture(scope="module")
def state(tmp_path_factory):
    """Return the folder for what the class remembers."""
    return tmp_path_factory.mktemp("class")


@pytest.fixture(scope="module")
def server(state):
    """Open a class on this computer."""
    with opened(state) as it:
        yield it


@pytest.fixture(scope="module")
def learner(server):
    """Come in with the word."""
    return Visitor(server, server.token)


@pytest.fixture(scope="module")
def page(learner):
    """Open a page, and return its kernel."""
    return learner.kernel()


@pytest.fixture(scope="module")
def other(server):
    """Come in with the word as somebody else."""
    return Visitor(server, server.token)


def test_who_has_no_word_gets_nothing(server, page):
    stranger = Visitor(server)
    kernel = f"/api/kernels/{page}"
    for path in (START, "/voila/static/voila.js", kernel, f"{kernel}/channels", "/board", "/anything"):
        assert stranger.status(path) == 403, path
    answer, words = stranger.asked("/")
    assert answer.status == 403 and "type its word" in words


@pytest.mark.parametrize("word", ["wrong", "%00", "é", "a" * 5000, "abcdefgh&word=", "%ff%fe"])
def test_a_wrong_word_opens_nothing(server, word):
    visitor = Visitor(server)
    answer, _ = visitor.asked(f"/?word={quote(word, safe='%&=')}")
    assert answer.status in (400, 403) and answer.headers["Set-Cookie"] is None


def test_a_wrong_word_takes_its_time(server):
    begun = time.monotonic()
    Visitor(server, "wrong")
    assert time.monotonic() - begun >= 1


def test_words_are_many_and_can_be_typed():
    assert len(LETTERS) ** LENGTH > 8e11 and not set(LETTERS) & set("il1o0")
    assert len({new_word() for _ in range(100)}) == 100


def test_the_cookie_is_kept_from_scripts_and_other_pages(server):
    answer, _ = Visitor(server).asked(f"/?word={server.token}")
    assert answer.status == 200
    assert "HttpOnly" in answer.headers["Set-Cookie"] and "SameSite=Strict" in answer.headers["Set-Cookie"]


def test_a_forged_or_changed_cookie_opens_nothing(server, learner):
    name, _, value = learner.cookie.partition("=")
    parts = value.strip('"').split("|")
    swapped = "|".join([*parts[:-1], "0" * 64])
    for forged in (
        f"{name}=learner-01",
        f"{name}={swapped}",
        f"{name}=",
        "username=learner-01",
        f"{name}={value[:-3]}abc",
    ):
        assert Visitor(server, cookie=forged).status(START) == 403, forged


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "evil.example:80"},
        {"Host": "127.0.0.1"},
        {"Host": "127.0.0.1.evil.example:{port}"},
        {"Host": "localhost:{port}"},
        {"Host": "[::1]:{port}"},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://{here}"},
        {"Origin": "http://{here}.evil.example"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
    ids=str,
)
def test_what_another_page_or_name_asks_for_is_refused(learner, page, headers):
    """Also where a foreign name was made to lead to this computer: the name itself is looked at."""
    port = learner.place.partition(":")[2]
    headers = {name: value.format(here=learner.place, port=port) for name, value in headers.items()}
    for path in (START, f"/api/kernels/{page}", "/voila/static/voila.js"):
        answer, words = learner.asked(path, **headers)
        assert answer.status == 403 and "Open the address" in words, path
    assert learner.status(f"/voila/api/shutdown/{page}", "POST", **headers) == 403


def test_the_door_does_not_open_under_another_name(server):
    answer, _ = Visitor(server).asked(f"/?word={server.token}", Host="evil.example")
    assert answer.status == 403 and answer.headers["Set-Cookie"] is None


NOT_HERE = """
/api /api/ /api/contents /api/contents/ /api/contents/00_start_here.ipynb /api/kernels /api/kernels/
/api/kernelspecs /api/sessions /api/terminals /api/config/x /api/me /api/status /api/shutdown /api/spec.yaml
/api/events /api/nbconvert /lab /lab/ /lab/tree/00_start_here.ipynb /tree /tree/ /notebooks/00_start_here.ipynb
/files /files/ /files/00_start_here.ipynb /terminals /terminals/1 /terminals/websocket/1 /edit/x /view/x /login
/logout /metrics /nbextensions/x /nbconvert/html/x /custom/x /kernelspecs/python3/logo-64x64.png /static/x /voila
/voila/ /voila/tree /voila/tree/ /voila/render /voila/render/ /voila/api/contents /voila/api/contents/
/voila/api/themes/x /voila/query/x /voila/execution/x /voila/files/ /lsp /lsp/status
/voila/render/my_plans/x.ipynb /voila/render/07_run_a_class.ipynb /voila/render/08_check_the_numbers.ipynb
/voila/render/guest.ipynb
"""


@pytest.mark.parametrize("path", NOT_HERE.split())
def test_nothing_but_pages_is_served(learner, path):
    for method in ("GET", "POST", "PUT", "PATCH", "DELETE"):
        assert learner.status(path, method) in (403, 404, 405), (method, path)


AWAY = """
/voila/files/../pyproject.toml /voila/files/..%2fpyproject.toml /voila/files/%2e%2e/pyproject.toml
/voila/files/pictures/../00_start_here.ipynb /voila/files/pictures%2f..%2f00_start_here.ipynb
/voila/files/00_start_here.ipynb /voila/files/pictures/..%5c..%5cpyproject.toml /voila/files//etc/passwd
/voila/files/%2fetc%2fpasswd /voila/static/../../app.py /voila/static/..%2f..%2fapp.py
/voila/static/%2e%2e/app.py /voila/static//etc/passwd /voila/templates/mosaic/static/../index.html.j2
/voila/templates/mosaic/static/..%2findex.html.j2 /voila/templates/..%2f..%2fx
/voila/templates/mosaic/static/..%2f..%2f..%2f..%2fjupyter_lab_config.py
/voila/labextensions/anywidget/../../../../../../etc/passwd
/voila/labextensions/anywidget/..%2f..%2f..%2f..%2fetc%2fpasswd
/voila/labextensions/anywidget/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd
/voila/labextensions//etc/passwd /voila/labextensions/@jupyterlab/x /voila/render/..%2f..%2fREADME.md
/voila/render/%2e%2e%2f00_start_here.ipynb /voila/render/../../workbooks/00_start_here.ipynb
/%2e%2e/%2e%2e/etc/passwd /..%2f..%2fetc%2fpasswd //evil.example/%2e%2e /voila/render/00_start_here.ipynb%00.html
/voila/render/00_start_here%2eipynb%2f.. /voila/files/pictures/%00
"""


@pytest.mark.parametrize("path", AWAY.split())
def test_no_path_leads_out_of_what_is_served(learner, path):
    answer, words = learner.asked(path)
    assert answer.status in (400, 403, 404), path
    assert "root:" not in words and "[project]" not in words and "get_config" not in words


def test_a_page_of_the_class_has_all_it_needs(learner):
    _, words = learner.asked("/voila/render/01_space_the_joints.ipynb")
    wanted = set(re.findall(r'(?:src|href)="(/voila/[^"]+\.(?:js|css)[^"]*)"', words))
    assert len(wanted) >= 3
    assert {path: learner.status(path) for path in wanted} == dict.fromkeys(wanted, 200)


def test_a_page_holds_no_way_to_jupyterlab_no_key_and_no_folder(learner, state):
    _, words = learner.asked(START)
    assert "/lab/tree" not in words and "For the teacher" not in words
    assert str(state) not in words and "site-packages" not in words
    assert {name[:2] for name in LEARNERS} == {"00", "01", "02", "03", "04", "05", "06"}
    bar = words.partition('aria-label="Workbooks"')[2].partition("</nav>")[0]
    assert {name for name in SHIPPED if f'href="{name}"' in bar} == set(LEARNERS)


def test_a_kernel_is_closed_to_another_learner(server, learner, other, page):
    own = other.kernel()
    assert own != page
    path = f"/api/kernels/{page}"
    assert learner.status(path) == 200
    for wrong in (path, path.upper().replace("/API/KERNELS", "/api/kernels"), f"{path}/", f"{path}%2fchannels"):
        assert other.status(wrong) in (403, 404), wrong
    assert other.status(path, "DELETE") == 403 and learner.status(path, "DELETE") in (403, 405)
    assert learner.status(f"{path}/interrupt", "POST") in (403, 404)
    assert other.status(f"/voila/api/shutdown/{page}", "POST") == 403
    for closed in (page, str(uuid.uuid4())):
        with pytest.raises(websocket.WebSocketBadStatusException) as refused:
            other.connected(closed)
        assert refused.value.status_code in (403, 404)
    with pytest.raises(websocket.WebSocketBadStatusException):
        learner.connected(own)
    assert learner.status(path) == 200  # it still runs


@pytest.mark.parametrize(
    "wrong", [{"cookie": False}, {"origin": "http://evil.example"}, {"origin": None}, {"origin": "null"}]
)
def test_a_connection_needs_cookie_and_origin(learner, page, wrong):
    with pytest.raises(websocket.WebSocketBadStatusException) as refused:
        learner.connected(page, **wrong)
    assert refused.value.status_code == 403


def test_a_page_cannot_run_a_program(learner, page, tmp_path):
    made = tmp_path / "it_ran.txt"
    code = f"open({str(made)!r}, 'w').close()"
    line = learner.connected(page)
    for channel in ("shell", "control", "stdin"):
        say(line, "execute_request", {"code": code, "silent": False, "user_expressions": {"x": code}}, channel)
        say(line, "inspect_request", {"code": "open", "cursor_pos": 2, "detail_level": 1}, channel)
        say(line, "shutdown_request", {"restart": False}, channel)
        arguments = {"expression": code, "context": "repl"}
        say(
            line, "debug_request", {"type": "request", "seq": 1, "command": "evaluate", "arguments": arguments}, channel
        )
    assert hear(line, say(line, "comm_info_request", {}), "comm_info_reply")["comms"]  # what a page may say is answered
    line.close()
    time.sleep(0.5)
    assert not made.exists() and learner.status(f"/api/kernels/{page}") == 200


def test_a_page_needs_its_own_mark_to_stop_its_kernel(learner, page):
    """A form on another page would send the cookie, if the browser let it, but not the header."""
    assert learner.status(f"/voila/api/shutdown/{page}", "POST") == 403
    assert learner.status(f"/api/kernels/{page}") == 200


def test_large_bodies_and_messages_are_refused(learner, page):
    with suppress(ConnectionError):  # the line may be cut while it is still being sent
        assert learner.status(START, "POST", body=b"x" * 20_000) in (400, 403, 405, 413)
    line = learner.connected(page)
    with pytest.raises((websocket.WebSocketException, ConnectionError)):
        line.send(json.dumps({"x": "x" * 1_100_000}))
        while True:
            if line.recv() in ("", b""):
                raise websocket.WebSocketConnectionClosedException
    line.shutdown()
    with suppress(ConnectionError), socket.create_connection(learner.place.split(":"), timeout=30) as bare:
        bare.sendall(f"GET / HTTP/1.1\r\nHost: {learner.place}\r\nX: {'x' * 100_000}\r\n\r\n".encode())
        assert not bare.recv(1000).startswith(b"HTTP/1.1 200")
    assert learner.status(f"/api/kernels/{page}") == 200  # it still serves, and the page still has its kernel


def test_only_the_teacher_sees_the_board(server, learner):
    assert learner.status("/board") == 404
    teacher = Visitor(server, server.board.partition("word=")[2])
    answer, words = teacher.asked("/board")
    assert answer.status == 200 and server.token in words and "<svg" in words
    assert server.board.partition("word=")[2] not in words


def test_a_learner_has_at_most_three_pages_and_the_oldest_ends(server):
    visitor = Visitor(server, server.token)
    first, *more = (visitor.kernel() for _ in range(4))
    assert visitor.status(f"/api/kernels/{first}") == 403  # nobody's any more
    assert [visitor.status(f"/api/kernels/{kernel}") for kernel in more] == [200] * 3


def test_what_is_kept_is_closed_to_others_on_this_computer(learner, page, state):
    for path in (state / "class", *(state / "class").rglob("*")):
        assert path.parent.stat().st_mode & 0o077 == 0 or path.stat().st_mode & 0o077 == 0, path


def test_the_class_listens_to_this_computer_only_unless_asked(server):
    port = int(server.address.rpartition(":")[2].partition("/")[0])
    heard = {
        each.laddr.ip for each in psutil.net_connections("tcp") if each.status == "LISTEN" and each.laddr.port == port
    }
    assert heard == {"127.0.0.1"}


def test_a_learner_finds_the_place_again_with_the_next_word_and_only_with_it(tmp_path):
    with opened(tmp_path) as first:
        visitor = Visitor(first, first.token)
        assert visitor.status(START) == 200
    with opened(tmp_path) as second:
        again = Visitor(second, cookie=visitor.cookie)
        assert again.status(START) == 403  # the word of last time is no word of today
        answer, _ = again.asked(f"/?word={second.token}")
        assert answer.status == 200
    assert Places(tmp_path / "class").learners == ["learner-01"]
    with opened(tmp_path, "--forget") as third:
        assert Places(tmp_path / "class").learners == []
        assert Visitor(third, third.token, visitor.cookie).cookie
        assert not (tmp_path / "class" / "learner-01" / "kept").exists()


def test_an_idle_page_ends_and_its_connection_with_it(tmp_path):
    with opened(tmp_path, "--idle", "0.1") as short:
        visitor = Visitor(short, short.token)
        kernel = visitor.kernel()
        line = visitor.connected(kernel)
        line.settimeout(60)
        with suppress(websocket.WebSocketException, ConnectionError):
            while line.recv():
                pass
        line.shutdown()
        assert visitor.status(f"/api/kernels/{kernel}") == 403


def test_a_room_is_served_at_its_address_and_at_no_other(tmp_path):
    if not room_addresses():
        pytest.skip("This computer is in no network, so no room could be served.")
    address = room_address(room_addresses()[0])
    with opened(tmp_path, "--room", address) as room:
        assert f"//{address}:" in room.address and "//127.0.0.1:" in room.board
        visitor = Visitor(room, room.token)
        assert visitor.status(START) == 200
        for name in ("evil.example", "0.0.0.0", socket.gethostname()):
            assert visitor.status(START, Host=f"{name}:{room.address.rpartition(':')[2].partition('/')[0]}") == 403


def test_an_address_that_is_not_ours_is_said_in_a_sentence():
    with pytest.raises(MosaicError, match=r"does not have the address 203\.0\.113\.9"):
        room_address("203.0.113.9")
