#pragma once

#include <functional>

class QQuickWindow;

namespace chockside::app {

/// With CHOCKSIDE_FIRST_FRAME=1: prints "FF <ms since T0_NS> RSS <kB>" at the first frame on the glass for which `ready` holds and ends the process.
void watch_first_frame(QQuickWindow* window, const std::function<bool()>& ready);

} // namespace chockside::app
