"""Messages and stubs of the service, version 1; generated from the .proto files beside them."""
