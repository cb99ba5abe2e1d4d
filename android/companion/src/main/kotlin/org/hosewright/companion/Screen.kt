package org.hosewright.companion

import java.nio.ByteBuffer
import org.hosewright.core.FilmSeen
import org.hosewright.core.FilmStrip
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.Page
import org.hosewright.core.PageOf
import org.hosewright.core.PhoneRecord as Record
import org.hosewright.core.ProgressListener
import org.hosewright.core.Reply
import org.hosewright.core.Shown
import org.hosewright.core.Touch
import org.hosewright.core.nothingShown

/**
 * A page of the core's: touches go to it in their order, and what comes back is
 * drawn. Used on the thread of screens alone.
 *
 * It keeps nothing that the core does not have on disk: turned, or killed and
 * started again, it asks again with the same few words that name it.
 */
class Screen(private val desk: Desk, private val of: PageOf) {
    /** What the page holds. */
    var shown: Shown = nothingShown()
        private set

    /** How many touches are not answered yet. */
    var asking: Int = 0
        private set

    /** How far something long is; none if nothing is under way. */
    var progress: String? = null
        private set

    /** Whether something long is under way, which [stop] stops. */
    val underWay: Boolean get() = asking > 0 && progress != null

    /** What to do about a tag that shows itself and can't be read yet. */
    var hint: String? = null
        private set

    /** Called when something of the above is another. */
    var onChange: () -> Unit = {}

    /** Called when what is under way is further; that builds no page anew under a finger. */
    var onProgress: () -> Unit = { onChange() }

    /** Called with what follows from a touch. */
    var onFollows: (Follows) -> Unit = {}

    /** Called when the film that is watched is further; that builds no page anew. */
    var onFilm: (FilmSeen) -> Unit = {}

    /** Made by the first touch, on the record's thread. */
    @Volatile private var page: Page? = null
    private var left = false
    private var away = false

    /** The chip that was held to the phone last. */
    private var chip: Chip? = null

    /** It waits for a network, and keeps the record from nobody meanwhile. */
    private val calls = (of as? PageOf.Form)?.of is FormOf.Counters

    /** A counter is being met. */
    private var calling = false

    /** Hands a touch over, and shows what comes of it; what was shown before stays until then. */
    fun touch(touch: Touch) {
        if (touch == Touch.Look) away = false
        val meets = calls && (touch is Touch.Save || touch == Touch.TryAgain)
        // Touched twice, it is not met a second time after it was stopped.
        if (meets && calling) return
        calling = calling || meets
        asking += 1
        onChange()
        val question = { record: Record, today: String ->
            val page = page ?: Page(record, of, Heard()).also { page = it }
            page.touch(touch, today)
        }
        val told = told@{ outcome: Result<Reply> ->
            if (left) return@told
            asking -= 1
            progress = null
            if (meets) calling = false
            outcome.onSuccess { shown = it.shown }
            onChange()
            val follows = outcome.getOrNull()?.follows
            if (follows is Follows.WriteChip) write(follows.bytes)
            else if (follows != null && !away) onFollows(follows)
            // The page itself says what fails inside it: this is what kept it from being asked.
            outcome.onFailure { if (touch !is Touch.Hindered) hindered(Obstacle.FAULT, it.toString()) }
            Unit
        }
        if (calls) desk.call(question, told) else desk.ask(question, told)
        if (touch == Touch.Look) desk.looks(this)
    }

    /** Stops what takes long; at once, also while touches wait. */
    fun stop() {
        page?.stop()
    }

    /** Hands over the texts of a frame, also of one without any, if it is worth it. */
    fun frame(texts: List<String>) {
        if (left || away) return
        if (page?.frame(texts) == true) touch(Touch.Seen(texts))
    }

    /** What to do about a tag that shows itself, or that there is none any more. */
    fun hinted(words: String?) {
        if (left || away || hint == words) return
        hint = words
        onChange()
    }

    /** What looks at the frames of a film that is watched; it sees nothing before the first touch is done. */
    fun eye(): Eye<FilmSeen?> = object : Eye<FilmSeen?> {
        override fun see(luma: ByteBuffer, width: UInt, height: UInt, stride: UInt) =
            page?.watched(luma, width, height, stride)
    }

    /** What a frame of the camera came to. What is to be kept of it is kept also where nobody looks any more. */
    fun watched(seen: FilmSeen?) {
        if (left || seen == null) return
        if (!away) onFilm(seen)
        seen.touch?.let(::touch)
    }

    /** The frames of the film that is shown, from one on; without the record, which others can ask in the meantime. */
    internal fun strip(from: ULong, told: (FilmStrip) -> Unit) =
        desk.beside({ page?.strip(from) }) { outcome ->
            if (left) return@beside
            outcome.onSuccess { it?.let(told) }.onFailure { hindered(Obstacle.FAULT, it.message) }
        }

    /** Something of the phone stands in the way. */
    fun hindered(obstacle: Obstacle, detail: String? = null) = touch(Touch.Hindered(obstacle, detail))

    /**
     * A chip is held to the phone: it is read, and written with what follows. Chips are
     * slow, and the record is not kept from others in the meantime.
     */
    fun near(near: Chip) {
        if (asking > 0 || !shown.awaitsChip) return
        chip = near
        reach({ near.room.toUInt() to near.read() }) { (room, held) -> touch(Touch.ChipNear(room, held)) }
    }

    private fun write(bytes: ByteArray) {
        val near = chip ?: return
        reach({ near.write(bytes) }) { touch(Touch.ChipWritten) }
    }

    private fun <T> reach(work: () -> T, then: (T) -> Unit) {
        asking += 1
        onChange()
        desk.beside(work) { outcome ->
            if (left) return@beside
            asking -= 1
            outcome.onSuccess(then).onFailure { hindered(Obstacle.CHIP_LOST, it.message) }
        }
    }

    /** The page is not looked at any more: nothing follows until it is again. */
    fun away() {
        away = true
        hint = null
        desk.left(this)
    }

    /** Another takes its place before the person: it is told what comes from now on. */
    fun apart() {
        onChange = {}
        onFollows = {}
        onFilm = {}
        onProgress = {}
    }

    /** The page is gone: nothing more is told to it. What was touched is still done, but nobody waits for a counter any more. */
    fun leave() {
        left = true
        apart()
        desk.left(this)
        if (calling) stop()
    }

    private inner class Heard : ProgressListener {
        override fun told(done: ULong, all: ULong, words: String) = desk.tell {
            val begun = progress == null
            progress = words
            if (begun) onChange() else onProgress()
        }
    }
}

/** A chip that lies at the phone, as a platform reaches it. Its calls block. */
interface Chip {
    /** How many bytes of message it has room for. */
    val room: Int

    /** The message that it holds; no bytes if it is empty. */
    fun read(): ByteArray

    /** Writes a message. */
    fun write(message: ByteArray)
}
