package org.hosewright.door

import java.io.File
import java.net.ServerSocket
import java.net.SocketTimeoutException
import java.net.URI
import java.net.URLEncoder
import java.net.http.HttpClient
import java.net.http.HttpRequest
import java.net.http.HttpResponse

/** A counter whose page is open to the network: the real program, asked as its own browser asks it. */
class Door(binary: String, today: String, around: Map<String, String>) : AutoCloseable {
    private val process: Process
    private val page: String
    private val browser = HttpClient.newHttpClient()

    /** Where devices reach it. */
    val port: Int

    init {
        val building = ProcessBuilder(binary, "--today", today, "desk", "--port", "0")
            .redirectError(ProcessBuilder.Redirect.INHERIT)
        building.environment().putAll(around)
        process = building.start()
        page = process.inputStream.bufferedReader().readLine().trim().trimEnd('/')
        sent("/owner/meet/network/open", "pass" to "")
        port = Regex("https://[^/:]+:(\\d+)").find(shown("/owner/meet/network"))!!.groupValues[1].toInt()
    }

    /** The text of a symbol that lets one device in: this counter as it is reached on this computer. */
    fun symbol(): String {
        val led = sent("/owner/meet/network/let-in", "role" to "bench", "name" to "phone")
        val text = Regex("HWC1:[A-Z2-7]+\\.[A-Z2-7]+").find(shown(led))!!.value
        return "$text/127.0.0.1:$port"
    }

    private fun shown(path: String): String =
        browser.send(HttpRequest.newBuilder(URI("$page$path")).build(), HttpResponse.BodyHandlers.ofString()).body()

    /** Sends a form, and returns where it leads. */
    private fun sent(path: String, vararg fields: Pair<String, String>): String {
        val token = Regex("name=\"token\" value=\"([^\"]+)\"").find(shown("/register"))!!.groupValues[1]
        val body = (listOf("token" to token) + fields).joinToString("&") { (name, text) -> "$name=${URLEncoder.encode(text, Charsets.UTF_8)}" }
        val asked = HttpRequest.newBuilder(URI("$page$path"))
            .header("Origin", page).header("Content-Type", "application/x-www-form-urlencoded")
            .POST(HttpRequest.BodyPublishers.ofString(body)).build()
        val reply = browser.send(asked, HttpResponse.BodyHandlers.ofString())
        check(reply.statusCode() == 303) { "$path: ${reply.statusCode()} ${reply.body()}" }
        return reply.headers().firstValue("location").get()
    }

    override fun close() {
        process.destroyForcibly().waitFor()
    }
}

/** Something that is reached in the network and says nothing. */
class Silent(port: Int = 0) : AutoCloseable {
    private val server = ServerSocket(port)

    /** Where it is reached. */
    val at = "127.0.0.1:${server.localPort}"

    /** A symbol of a counter that would be reached there. */
    val symbol = "HWC1:${"A4DQOBYH".repeat(6)}A4DQ.BEEQSCIJBEEQSCIJBEEQSCIJBE/$at"

    /** Whether somebody called by now. */
    fun wasCalled(): Boolean {
        server.soTimeout = 1
        return try {
            server.accept().close()
            true
        } catch (_: SocketTimeoutException) {
            false
        }
    }

    /** Waits until somebody calls, and hangs up. */
    fun hangUp() {
        server.soTimeout = 0
        server.accept().close()
    }

    override fun close() = server.close()
}
