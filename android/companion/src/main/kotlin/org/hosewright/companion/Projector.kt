package org.hosewright.companion

import org.hosewright.core.FilmStrip

/** One symbol of a film, without the quiet around it. */
class FilmFrame(
    /** Modules a side. */
    val side: Int,
    private val bits: ByteArray,
) {
    /** Whether a module is dark. */
    fun isDark(x: Int, y: Int): Boolean = (y * side + x).let { bits[it / 8].toInt() shr (7 - it % 8) and 1 == 1 }
}

/** The frames of the film that a screen shows, made before they are drawn. Used on the thread of screens alone. */
class Projector(private val screen: Screen) {
    private val frames = ArrayDeque<FilmFrame>()
    private var made = 0UL
    private var making = false

    /** How often it was shown otherwise: frames that come of before are not shown any more. */
    private var changed = 0

    /** The next frame; none if it is not made yet. */
    fun next(): FilmFrame? {
        if (frames.size < AHEAD) make()
        return frames.removeFirstOrNull()
    }

    /** The film is shown otherwise; it goes on from where it is, since any of its frames will do. */
    fun change() {
        frames.clear()
        changed += 1
        making = false
    }

    private fun make() {
        if (making) return
        making = true
        val of = changed
        screen.strip(made) { strip ->
            if (of == changed) take(strip)
        }
    }

    private fun take(strip: FilmStrip) {
        making = false
        made += strip.frames.size.toULong()
        strip.frames.mapTo(frames) { FilmFrame(strip.side.toInt(), it) }
    }

    private companion object {
        /** So few frames are left, and the next ones are made: more than a second of them. */
        const val AHEAD = 20
    }
}
