package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.Obstacle
import org.hosewright.core.chipContent

/**
 * Scanning: a camera's frames, a chip, or a typed code, to the answer. Where
 * another page asked for a text, [read] gets what is written on whatever is seen.
 */
class ScanScreen(
    desk: Desk,
    private val read: ((String) -> Unit)? = null,
    private val found: (Answer) -> Unit,
) : Screen<Answer>(desk) {
    private var lastSeen: List<String> = emptyList()

    /** The text of the tag that was answered last; it names a hose that has no record here. */
    var lastText: String? = null
        private set

    /** Texts that were seen in a frame. The same texts are asked once. */
    fun seen(texts: List<String>) {
        if (asking > 0 || texts == lastSeen) return
        lastSeen = texts
        if (read != null) return texts.singleOrNull()?.let(read) ?: Unit
        ask({ logbook, moment -> logbook.answerSeen(texts, moment) }) { tell(it, texts.singleOrNull()) }
    }

    /** A code, the beginning of one, or a text from a hand-held reader. */
    fun typed(text: String) {
        if (read != null) return read(text)
        ask({ logbook, moment -> logbook.answer(text, moment) }) { tell(it, text) }
    }

    /** The message of a chip; no bytes are an empty chip. */
    fun chip(message: ByteArray) {
        val content = chipContent(message)
        val text = content.text
        if (text == null) {
            trouble = Trouble(content.words)
            onChange()
        } else if (read != null) {
            read(text)
        } else {
            ask({ logbook, moment -> logbook.answerSeen(listOf(text), moment) }) { tell(it, text) }
        }
    }

    /** The camera, or the reader of chips, cannot be used. */
    fun obstacle(obstacle: Obstacle, detail: String? = null) {
        trouble = Trouble.of(obstacle, detail)
        onChange()
    }

    /** A frame cannot be read. */
    fun failed(why: Trouble) {
        if (trouble != null) return
        trouble = why
        onChange()
    }

    /** The screen is looked at again: what is before the camera counts again. */
    fun resume() {
        lastSeen = emptyList()
        dismiss()
    }

    private fun tell(answer: Answer, text: String?) {
        lastText = text
        shown = answer
        found(answer)
    }
}
