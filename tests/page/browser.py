"""Drives a headless Chromium over its remote debugging protocol, with the standard library alone.

The protocol: https://chromedevtools.github.io/devtools-protocol/. Its messages are JSON over a
WebSocket (RFC 6455), of which a client needs little: one handshake, masked frames out, plain
frames in."""
import base64
import contextlib
import json
import os
import shutil
import signal
import socket
import struct
import subprocess
import tempfile
import time
import urllib.request

CHROMIUM = shutil.which('chromium-headless-shell') or shutil.which('chromium')
FLAGS = ['--headless=new', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
         '--disable-background-networking', '--disable-component-update', '--disable-sync',
         '--disable-extensions', '--mute-audio', '--hide-scrollbars', '--remote-debugging-port=0',
         # Suggestions below an address bar that nobody sees: two pages that take longer to begin than ours.
         '--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup']
PATIENCE = int(os.environ.get("PATIENCE", 300))  # seconds; the machine may be busy


class WebSocket:
    """A client's end of one connection; text messages only."""

    def __init__(self, host, port, path):
        self.socket = socket.create_connection((host, port), timeout=PATIENCE)
        key = base64.b64encode(os.urandom(16)).decode()
        self.socket.sendall((f'GET {path} HTTP/1.1\r\nHost: {host}:{port}\r\nUpgrade: websocket\r\n'
                             f'Connection: Upgrade\r\nSec-WebSocket-Key: {key}\r\n'
                             'Sec-WebSocket-Version: 13\r\n\r\n').encode())
        self.buffer = b''
        head = self.until(b'\r\n\r\n')
        if b' 101 ' not in head.split(b'\r\n')[0]:
            raise ConnectionError(head.decode())

    def more(self):
        data = self.socket.recv(1 << 16)
        if not data:
            raise ConnectionError('the browser closed the connection')
        self.buffer += data

    def until(self, end):
        while end not in self.buffer:
            self.more()
        head, self.buffer = self.buffer.split(end, 1)
        return head

    def take(self, count):
        while len(self.buffer) < count:
            self.more()
        data, self.buffer = self.buffer[:count], self.buffer[count:]
        return data

    def send(self, text):
        data, mask = text.encode(), os.urandom(4)
        size = len(data)
        if size < 126:
            head = struct.pack('>BB', 0x81, 0x80 | size)
        elif size < 1 << 16:
            head = struct.pack('>BBH', 0x81, 0x80 | 126, size)
        else:
            head = struct.pack('>BBQ', 0x81, 0x80 | 127, size)
        masked = bytes(byte ^ mask[i % 4] for i, byte in enumerate(data))
        self.socket.sendall(head + mask + masked)

    def receive(self):
        """The next text message; frames of control are passed over."""
        message = b''
        while True:
            first, second = self.take(2)
            size = second & 127
            if size == 126:
                size, = struct.unpack('>H', self.take(2))
            elif size == 127:
                size, = struct.unpack('>Q', self.take(8))
            data = self.take(size)
            if first & 0x0f in (0, 1):
                message += data
                if first & 0x80:
                    return message.decode()

    def close(self):
        self.socket.close()


class Browser:
    """One Chromium with one page. console collects errors and warnings of every kind, requests what leaves the page."""

    def __init__(self, *flags):
        self.folder = tempfile.mkdtemp(prefix='narrows-browser-')
        self.process = subprocess.Popen(
            [CHROMIUM, *FLAGS, *flags, f'--user-data-dir={self.folder}', 'about:blank'],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
        self.count, self.console, self.events, self.requests = 0, [], [], []
        self.connect(self.port())
        for domain in ('Page', 'Runtime', 'Log', 'DOM', 'Network'):
            self.call(f'{domain}.enable')
        self.call('Emulation.setFocusEmulationEnabled', enabled=True)

    def port(self):
        """Chromium writes the port that it chose into its folder."""
        path = os.path.join(self.folder, 'DevToolsActivePort')
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if os.path.exists(path):
                with open(path, encoding='ascii') as file:
                    words = file.read().split()
                if len(words) == 2:
                    return int(words[0])
            if self.process.poll() is not None:
                raise RuntimeError(f'chromium ended with status {self.process.returncode}')
            time.sleep(0.05)
        raise TimeoutError('chromium opens no port')

    def connect(self, port):
        end = time.monotonic() + PATIENCE
        while True:
            with urllib.request.urlopen(f'http://127.0.0.1:{port}/json', timeout=PATIENCE) as answer:
                pages = [page for page in json.load(answer) if page['type'] == 'page']
            if pages or time.monotonic() > end:
                break
            time.sleep(0.05)
        path = pages[0]['webSocketDebuggerUrl'].split(str(port), 1)[1]
        self.socket = WebSocket('127.0.0.1', port, path)

    def note(self, message):
        method, params = message.get('method'), message.get('params', {})
        if method == 'Runtime.exceptionThrown':
            details = params['exceptionDetails']
            self.console.append(details.get('exception', {}).get('description') or details['text'])
        elif method == 'Runtime.consoleAPICalled' and params['type'] in ('error', 'warning', 'assert'):
            self.console.append(' '.join(str(a.get('value', a)) for a in params['args']))
        elif method == 'Log.entryAdded' and params['entry']['level'] in ('error', 'warning'):
            self.console.append(params['entry']['text'])
        elif method == 'Network.requestWillBeSent' and not params['request']['url'].startswith(('file:', 'data:', 'blob:')):
            self.requests.append(params['request']['url'])
        elif method:
            self.events.append(method)

    def call(self, method, **params):
        self.count += 1
        self.socket.send(json.dumps({'id': self.count, 'method': method, 'params': params}))
        while True:
            message = json.loads(self.socket.receive())
            if message.get('id') == self.count:
                if 'error' in message:
                    raise RuntimeError(f"{method}: {message['error']['message']}")
                return message['result']
            self.note(message)

    # ---- the page ---------------------------------------------------------------------------

    def open(self, path):
        self.events.clear()
        self.js('window.left = true')  # the page before, which may answer for a while yet
        self.call('Page.navigate', url='file://' + os.path.abspath(path))
        self.wait("!window.left && document.readyState === 'complete' && location.protocol === 'file:'")

    def js(self, expression):
        """The value of an expression, which may be a promise."""
        answer = self.call('Runtime.evaluate', expression=expression, returnByValue=True,
                           awaitPromise=True)
        if 'exceptionDetails' in answer:
            details = answer['exceptionDetails']
            raise RuntimeError(details.get('exception', {}).get('description') or details['text'])
        return answer['result'].get('value')

    def wait(self, condition):
        end = time.monotonic() + PATIENCE
        while not self.js(condition):
            if time.monotonic() > end:
                raise TimeoutError(f'never came true: {condition}')
            time.sleep(0.02)

    def size(self, width, height, phone=False):
        self.call('Emulation.setDeviceMetricsOverride', width=width, height=height,
                  deviceScaleFactor=2 if phone else 1, mobile=phone)

    def theme(self, name):
        self.call('Emulation.setEmulatedMedia',
                  features=[{'name': 'prefers-color-scheme', 'value': name}])

    def key(self, key):
        code = {'ArrowLeft': 37, 'ArrowUp': 38, 'ArrowRight': 39, 'ArrowDown': 40, 'Tab': 9,
                'Enter': 13, 'Home': 36, 'End': 35}.get(key, 0)
        more = {'text': key} if len(key) == 1 else {'text': '\r'} if key == 'Enter' else {}
        common = {'key': key, 'code': key, 'windowsVirtualKeyCode': code}
        self.call('Input.dispatchKeyEvent', type='keyDown', **common, **more)
        self.call('Input.dispatchKeyEvent', type='keyUp', **common)

    def mouse(self, kind, x, y, **more):
        self.call('Input.dispatchMouseEvent', type=kind, x=x, y=y, **more)

    def click(self, x, y):
        self.mouse('mouseMoved', x, y)
        self.mouse('mousePressed', x, y, button='left', clickCount=1)
        self.mouse('mouseReleased', x, y, button='left', clickCount=1)

    def screenshot(self, path, **more):
        data = base64.b64decode(self.call('Page.captureScreenshot', format='png', **more)['data'])
        with open(path, 'wb') as file:
            file.write(data)
        return data

    def pdf(self, path, **options):
        data = base64.b64decode(self.call('Page.printToPDF', **options)['data'])
        with open(path, 'wb') as file:
            file.write(data)
        return data

    def close(self):
        """It is asked to end, and puts its folder in order; what it leaves is ended with its group."""
        try:
            self.call('Browser.close')
            self.process.wait(10)
        except (OSError, subprocess.TimeoutExpired):
            pass
        self.socket.close()
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        shutil.rmtree(self.folder)
