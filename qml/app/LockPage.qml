// The locked device: who may open it, and their PIN.
import QtQuick
import Chockside.Screens
import Chockside.App

LockScreen {
    required property App app
    home: app.home
    settings: app.settings
    lock: app.lock
}
