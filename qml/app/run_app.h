#pragma once
// The app itself: command line, backend, window. A test may look over its shoulder.

#include "app.h"
#include "desk_backend.h"

#include <functional>

class QQuickWindow;

namespace chockside::app {

struct Running {
    DeskBackend& backend;
    App& app;
    QQuickWindow* window;
};

/// Runs until the window is closed. `begun` is called once the window stands, before the first job is opened.
int run_app(int argc, char** argv, const std::function<void(Running&)>& begun = {});

} // namespace chockside::app
