"""Drives Firefox over Marionette and WebKit over WebDriver, with the standard library alone. Both speak the commands of
WebDriver (W3C, 2018): Marionette in JSON behind its length over a socket
(https://firefox-source-docs.mozilla.org/testing/marionette/Protocol.html), WebKit over HTTP."""
import base64
import glob
import http.client
import json
import os
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

FIREFOX = shutil.which('firefox-esr') or shutil.which('firefox')
WEBKIT = shutil.which('WebKitWebDriver') and shutil.which('Xvfb') and (
    glob.glob('/usr/lib/*/webkit2gtk-4.*/MiniBrowser') or glob.glob('/usr/libexec/webkit2gtk-4.*/MiniBrowser') or [None])[0]
PATIENCE = 300  # seconds; the machine may be busy
PREFERENCES = {'marionette.port': 0, 'browser.shell.checkDefaultBrowser': False, 'datareporting.policy.dataSubmissionEnabled': False,
               'app.update.auto': False, 'browser.startup.homepage_override.mstone': 'ignore', 'toolkit.telemetry.enabled': False,
               'network.captive-portal-service.enabled': False, 'network.connectivity-service.enabled': False,
               'dom.disable_beforeunload': True}
# the software OpenGL that WebKit's compositor draws with crashes now and then; nothing here needs it
WITHOUT_GL = {'WEBKIT_DISABLE_COMPOSITING_MODE': '1', 'WEBKIT_DISABLE_DMABUF_RENDERER': '1', 'WEBKIT_SKIA_ENABLE_CPU_RENDERING': '1',
              'LIBGL_ALWAYS_SOFTWARE': '1'}


class Died(RuntimeError):
    """The browser itself has ended: its crash, and the page's session with it."""


def until(condition, what):
    end = time.monotonic() + PATIENCE
    while True:
        found = condition()
        if found:
            return found
        if time.monotonic() > end:
            raise TimeoutError(what)
        time.sleep(0.05)


def move(place):
    return {'type': 'pointerMove', 'duration': 0, 'x': round(place[0]), 'y': round(place[1])}


class Driver:
    """What both have in common. call(name, method, path, body) gives a command's value."""

    def __init__(self):
        self.folder = tempfile.mkdtemp(prefix='narrows-browser-')
        self.processes = []

    def start(self, *words, **more):
        process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **more)
        self.processes.append(process)
        return process

    def open(self, path, frame=None):
        """frame: the width and height of a screen that is smaller than a window can be."""
        if frame:
            inside, path = os.path.abspath(path), os.path.join(self.folder, 'frame.html')
            with open(path, 'w', encoding='ascii') as file:
                file.write('<body style="margin: 0"><iframe style="border: 0; width: %dpx; height: %dpx" src="file://%s">' % (*frame, inside))
        self.call('WebDriver:Navigate', 'POST', '/url', {'url': 'file://' + os.path.abspath(path)})
        if frame:
            self.call('WebDriver:SwitchToFrame', 'POST', '/frame', {'id': 0})

    def run(self, body):
        """What a function of the page's own returns, which may wait; it sees what the page's scripts declared."""
        script = '''const done = arguments[arguments.length - 1], root = document.documentElement;
            root.addEventListener('told', () => done(root.getAttribute('data-told')), { once: true });
            const script = document.createElement('script');
            script.textContent = `(async () => { ${arguments[0]} })().then((value) => [value], (error) => ({ error: String(error) })).then((told) => {
                document.documentElement.dataset.told = JSON.stringify(told);
                document.documentElement.dispatchEvent(new Event('told'));
            })`;
            document.head.append(script);
            script.remove();'''
        answer = json.loads(self.call('WebDriver:ExecuteAsyncScript', 'POST', '/execute/async', {'script': script, 'args': [body]}))
        if isinstance(answer, dict):
            raise RuntimeError(answer['error'])
        return answer[0]

    def js(self, expression):
        return self.run(f'return ({expression});')

    def wait(self, condition):
        until(lambda: self.js(condition), f'never came true: {condition}')

    def size(self, width, height):
        """Of the window's inside. A window that is not shown yet is 0 wide outside."""
        for _ in range(2):
            self.wait('outerWidth >= innerWidth && outerHeight >= innerHeight')
            more = self.js('[outerWidth - innerWidth, outerHeight - innerHeight]')
            self.call('WebDriver:SetWindowRect', 'POST', '/window/rect', {'width': width + more[0], 'height': height + more[1]})

    def actions(self, *actions):
        self.call('WebDriver:PerformActions', 'POST', '/actions', {'actions': list(actions)})

    def key(self, key):
        key = {'Escape': '\ue00c', 'Enter': '\ue007', 'ArrowRight': '\ue014', 'ArrowLeft': '\ue012', 'Tab': '\ue004'}.get(key, key)
        self.actions({'type': 'key', 'id': 'keys', 'actions': [{'type': kind, 'value': key} for kind in ('keyDown', 'keyUp')]})

    def hover(self, place):
        self.actions({'type': 'pointer', 'id': 'mouse', 'parameters': {'pointerType': 'mouse'}, 'actions': [move(place)]})

    def pointer(self, kind, *places):
        """Presses at the first place, moves to the others, lets go."""
        self.actions({'type': 'pointer', 'id': kind, 'parameters': {'pointerType': kind}, 'actions': [
            move(places[0]), {'type': 'pointerDown', 'button': 0}, *map(move, places[1:]), {'type': 'pointerUp', 'button': 0}]})

    def screenshot(self, path):
        data = base64.b64decode(self.call('WebDriver:TakeScreenshot', 'GET', '/screenshot', {'full': False}))
        with open(path, 'wb') as file:
            file.write(data)

    def close(self):
        for process in reversed(self.processes):
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)


class Firefox(Driver):
    def __init__(self, dark=False):
        super().__init__()
        chosen = {**PREFERENCES, 'layout.css.prefers-color-scheme.content-override': 0 if dark else 1}
        with open(os.path.join(self.folder, 'user.js'), 'w', encoding='ascii') as file:
            file.writelines(f'user_pref({json.dumps(name)}, {json.dumps(value)});\n' for name, value in chosen.items())
        self.start(FIREFOX, '--headless', '--marionette', '--no-remote', '--profile', self.folder,
                   env={**os.environ, 'HOME': self.folder, 'MOZ_CRASHREPORTER_DISABLE': '1'})
        path = os.path.join(self.folder, 'MarionetteActivePort')
        port = until(lambda: os.path.exists(path) and open(path, encoding='ascii').read(), 'firefox opens no port')
        self.socket, self.count, self.buffer = socket.create_connection(('127.0.0.1', int(port)), timeout=PATIENCE), 0, b''
        self.receive()
        self.call('WebDriver:NewSession', body={'capabilities': {'alwaysMatch': {'timeouts': {'script': PATIENCE * 1000}}}})

    def receive(self):
        while b':' not in self.buffer:
            self.buffer += self.socket.recv(1 << 16)
        size, _, rest = self.buffer.partition(b':')
        while len(rest) < int(size):
            rest += self.socket.recv(1 << 16)
        self.buffer = rest[int(size):]
        return json.loads(rest[:int(size)])

    def call(self, name, method='', path='', body=None):
        self.count += 1
        words = json.dumps([0, self.count, name, body or {}]).encode()
        self.socket.sendall(b'%d:%s' % (len(words), words))
        _, _, error, result = self.receive()
        if error:
            raise RuntimeError(f"{name}: {error['message']}")
        return result.get('value') if isinstance(result, dict) and 'value' in result else result

    def pdf(self, path, **options):
        data = base64.b64decode(self.call('WebDriver:Print', body=options))
        with open(path, 'wb') as file:
            file.write(data)

    def close(self):
        self.socket.close()
        super().close()


class WebKit(Driver):
    def __init__(self, dark=False):
        super().__init__()
        out, into = os.pipe()
        self.start('Xvfb', '-displayfd', str(into), '-screen', '0', '1600x1200x24', '-nolisten', 'tcp', pass_fds=[into])
        os.close(into)
        with os.fdopen(out) as file:
            display = ':' + file.readline().strip()
        with socket.socket() as free:
            free.bind(('127.0.0.1', 0))
            port = free.getsockname()[1]
        self.start('WebKitWebDriver', f'--port={port}', env={**os.environ, **WITHOUT_GL, 'GTK_THEME': 'Adwaita:dark' if dark else 'Adwaita', 'DISPLAY': display, 'HOME': self.folder,
                                                             'XDG_RUNTIME_DIR': self.folder})
        self.address = f'http://127.0.0.1:{port}'
        options = {'binary': WEBKIT, 'args': ['--automation']}
        asked = {'capabilities': {'alwaysMatch': {'webkitgtk:browserOptions': options, 'timeouts': {'script': PATIENCE * 1000}}}}
        until(self.is_up, 'WebKitWebDriver opens no port')
        self.session = self.send('POST', '/session', asked)['sessionId']

    def is_up(self):
        try:
            return self.send('GET', '/status')
        except (urllib.error.URLError, Died):
            return None

    def send(self, method, path, body=None):
        data = json.dumps(body).encode() if method == 'POST' else None
        request = urllib.request.Request(self.address + path, data, {'Content-Type': 'application/json'}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
                return json.load(answer)['value']
        except urllib.error.HTTPError as error:
            told = error.read().decode()
            raise (Died if 'invalid session id' in told else RuntimeError)(told) from error
        except (ConnectionError, http.client.HTTPException) as error:
            raise Died(str(error)) from error

    def call(self, name, method='', path='', body=None):
        return self.send(method, f'/session/{self.session}{path}', body)

    def close(self):
        try:
            self.send('DELETE', f'/session/{self.session}')
        except (OSError, RuntimeError):
            pass
        super().close()
