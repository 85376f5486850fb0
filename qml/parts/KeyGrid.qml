// Keys beside and below each other, all as high as the one with the most words: `tallest`.
import QtQuick
import Chockside.Theme

Grid {
    readonly property real tallest: most_of(children.length)

    function most_of(count: int): real {
        let most = 15 * Metrics.mm
        for (let i = 0; i < count; ++i)
            most = Math.max(most, children[i].implicitHeight)
        return most
    }
}
