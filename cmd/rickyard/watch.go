package main

type watchCommand struct{}
